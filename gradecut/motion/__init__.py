"""What moved in film: the camera, the snap, one man, his first step, how fast he ran."""

from gradecut.motion.camera_motion import CameraMotion, follow_camera
from gradecut.motion.follow import follow
from gradecut.motion.path_facts import PathFacts, path_facts
from gradecut.motion.plays import PlayFound, find_plays
from gradecut.motion.recording_watch import Watched, watch_recording
from gradecut.motion.snap import find_snap
from gradecut.motion.step import first_step

__all__ = [
    "CameraMotion",
    "PathFacts",
    "PlayFound",
    "Watched",
    "find_plays",
    "find_snap",
    "first_step",
    "follow",
    "follow_camera",
    "path_facts",
    "watch_recording",
]
