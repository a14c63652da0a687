"""How marks, signs and numbers look, as plain data: no screen, no paper, no library.

tokens: colours, sizes and spaces. shapes: the three shapes that everything is
drawn with. marks, signs, rod, boxes: the pictures. Two painters read them, one
for the screen and one for the sheet, so both always show the same.
"""
