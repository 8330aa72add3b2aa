"""Reading workbooks of people's own, kindly and safely: no Django in here."""
