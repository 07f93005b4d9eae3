"""What moved in film: the camera, the snap, one man, his first step."""

from gradecut.motion.camera_motion import CameraMotion, follow_camera
from gradecut.motion.snap import find_snap

__all__ = ["CameraMotion", "find_snap", "follow_camera"]
