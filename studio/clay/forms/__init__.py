"""What people type in the clay room: weights in any unit, bags, days, reasons."""
