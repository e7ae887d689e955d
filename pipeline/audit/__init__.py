"""What does not add up: one small function a kind of finding."""

from pipeline.audit.checks import audit
from pipeline.audit.settings import Settings

__all__ = ["Settings", "audit"]
