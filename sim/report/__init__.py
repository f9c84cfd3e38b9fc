"""The submission document: one content, from a result folder, as a self-contained page (HTML) and as paper (PDF).

`sections/` says what stands in it, out of the spans and blocks of `spans.py` and `blocks.py`; every number and every
name carries the field of the result it was read from. `page.py` and `paper.py` only lay it out.
"""
