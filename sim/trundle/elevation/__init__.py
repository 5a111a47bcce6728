"""The whole vehicle from the side, to scale, with the file's dimensions or with loads: pages of drawings."""
