"""How a board could be built, each way counted, timed and priced, with what its weakest seam carries.

counting  the pure core: rows of pieces to cuts, joints, panels and what kerf and grip take
effort    minutes as they grow with the copies, and from how many on one way takes no longer than another
"""
