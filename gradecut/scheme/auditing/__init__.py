"""A scheme proven over every look that can be: holes, overlaps, rules that never speak, duties."""

from gradecut.scheme.auditing.auditor import Auditor, audit_scheme
from gradecut.scheme.auditing.findings import Audit, Finding

__all__ = ["Audit", "Auditor", "Finding", "audit_scheme"]
