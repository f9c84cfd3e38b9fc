"""The demo scenarios, shipped with the program: `stopload demos` lists and copies them."""
