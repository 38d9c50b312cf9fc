"""The window itself: the only part that knows of a screen."""
