"""Film out: pictures and sound encoded, whole or not at all."""
