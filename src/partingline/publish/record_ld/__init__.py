"""The machine-readable record: JSON-LD with schema.org terms, the whole context inside the file."""

from partingline.publish.record_ld.record import record_ld

__all__ = ["record_ld"]
