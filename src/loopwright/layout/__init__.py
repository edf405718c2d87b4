"""Where does each thing stand? Block -> Layout."""
