"""`trundle new` asks: its questions, one after the other, with a way back and a way out."""
