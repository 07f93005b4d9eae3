"""What moved in film: the camera, the snap, one man, his first step, how fast he ran."""

from gradecut.motion.camera_motion import CameraMotion, follow_camera
from gradecut.motion.follow import follow
from gradecut.motion.path_facts import PathFacts, path_facts
from gradecut.motion.snap import find_snap
from gradecut.motion.step import first_step

__all__ = [
    "CameraMotion",
    "PathFacts",
    "find_snap",
    "first_step",
    "follow",
    "follow_camera",
    "path_facts",
]
