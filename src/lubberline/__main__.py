"""``python -m lubberline``: the command line."""

from lubberline.cli import main

if __name__ == "__main__":
    main()
