"""The Word sheet (.docx) from an outline. Nothing heavy is loaded before a sheet is written."""

from procforge.render.word.styles import TemplateError
from procforge.render.word.writer import docx_bytes, write_docx

__all__ = ["TemplateError", "docx_bytes", "write_docx"]
