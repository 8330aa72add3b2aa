"""How a label is drawn: from its words and the jar to a page of a PDF.

``layout.lay_out`` turns a label text, a label's size and a jar into a
``placed.LabelDrawing``: every line of text with its face, size and position in
millimetres. ``pdf`` draws that value on sheets. Whether a label may be printed
at all is asked elsewhere.

Lengths are floats in mm, sizes floats in points; positions are good to 0.01 mm.
"""
