"""Paper and light: how pieces are put on sheets, rolls and a projector's field.

Pure values and arithmetic; ``document`` is what comes out and ``files/pdf_write`` writes it.
Everything is in mm, y down.
"""
