"""The device library: what a kind of device, optic, cable or source can do. Data files and their reader."""
