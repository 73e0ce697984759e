// Layshaft
