// Package plan says what machines to bring to a job, how long it takes, what it
// costs, and what to mind: an estimate, not a quote.
//
// # Input
//
// A [Site] is the ground in pieces, each with the set of machines that may work it,
// from a zone map. A [Book] is all that the owner knows of machines ([Figures]) and
// job ([Job]); [Parse] reads it from a fleet file and [Default] has the defaults. [Make] gives
// the [Plan], [WriteText] prints it, [Plan.Summary] is its JSON.
//
// # Hours and cost
//
// By the built-in [CostModel], [ByRate]; a Book may have another:
//
//	productive = net acres / (rate of the cover · slope factor · stem factor · obstacles · finish)
//	scheduled  = productive / productive share + walking
//	cost       = scheduled · (machine + operator) + productive · (fuel + teeth)
//	           + moves + hours on the site · support truck + hand work
//	a move     = 2 · loads · (miles · haul rate + permit) + 2 · (miles / speed + loads · handling) · operator
//	price      = cost · (1 + overhead) · (1 + contingency) / (1 − margin), at least the minimum
//
// Walking to a piece is twice its edge of the shortest tree that joins all pieces
// and the landing.
//
// # Time
//
// Work begins when the last machine is unloaded, and takes as long as the machine
// with the most hours; machines of one kind share theirs evenly. Machines keep
// apart by two tree lengths and the thrown-object distance d of every head. A
// piece of 2πd² or more takes a machine at once for every 2πd²: wherever
// another machine is, at least half of such a piece is farther than d from it.
// Smaller pieces nearer to each other than d form one area, which takes one machine at
// a time. So work takes at least as long as an area's hours over the machines
// that it takes at once, and as the longest of both there is a timetable, if a
// machine may stop in one area and go on later (the preemptive open shop: Gonzalez and
// Sahni 1976, from memory). Walking to and fro for that is not counted.
//
// # The choice
//
// Each piece is worked whole by one kind of machine, the one that makes the crew's price
// least; pieces of a map that have all but the lot in common by the same. Where days or a
// budget end the work, a part of a piece is left. For each crew that may come that gives the
// acres it clears and what it asks; the lower right hull of those is the ladder ([Rung]).
// Recommended is the crew of least price per acre, or where the owner says what an acre is
// worth ([Terms]) the last rung of which no acre more asks for more. Crews are weighed by the
// price before the minimum charge.
//
// Without a support truck the assignment is exact: pieces do not hang together. With one
// it is a descent from three starts; of 915 crews that tests try in every way none is
// dearer than the least. Within days or a budget pieces are taken in the order of what they ask for an acre, and more acres may
// be possible.
//
// # Ranges
//
// Figures with a range are triangular. Drawing them by a Gaussian copula lets those
// with one cause move together: ground, operator and season move all rates, the
// shares of the day and the days lost to weather; a class of cover moves the rates on it;
// wages and prices move the costs of an hour. Ground to be verified takes from none to
// twice its hours, in one draw for the whole job. Draws come from a fixed seed.
// The crew and who works what stay as chosen.
package plan
