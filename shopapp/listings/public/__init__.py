"""What visitors may see: the shop's page and a page a piece, without a session, a script or a cookie. Off until the
owner switches it on; of pieces only those listings that are said to be public."""
