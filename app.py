"""The pages, for ``streamlit run app.py``."""

from configurator.ui import main

main()
