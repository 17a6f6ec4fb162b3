package zoning

// TieRise is how close to a limit a slope counts as over it, as rise over run:
// 0.02 points of percent. Heights are float32, whose noise puts a fifth to
// three quarters of an exact plane's cells over a limit equal to its slope; a
// tie goes to the steeper side, whole. At 4 000 m a float32 height is good to
// 0.12 mm, which on metre cells makes 1.7e-4 of slope at worst.
const TieRise = 2e-4
