"""What a verdict looks like: text, JSON, drawings, printed papers. Renderers never measure and never judge."""
