"""``python -m gradecut``: the same as the command ``gradecut``."""

from gradecut.cli import main

if __name__ == "__main__":
    main()
