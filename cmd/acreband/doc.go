// Command acreband maps which ground of a parcel each land-clearing machine may work, and says whom to bring.
//
// README.md of the module tells what it is for and how to begin; this is the manual. Every flag is told
// whole by --help-all of its command. The command reads flags, calls the library and turns errors into exit
// codes; it computes nothing itself.
//
// # If you plan jobs
//
// Build the command once, then give it an elevation raster and a boundary:
//
//		make build
//		bin/acreband map --elevation ridge.tif --parcel lot.kml --out job7
//
//	  - The boundary may be GeoJSON, KML, KMZ, a Shapefile (zipped too), GeoPackage, or a GPX track that comes back to its
//	    start; each shape in it is a lot. One that crosses itself is repaired if that changes no more than 1% of its acres
//	    (--repair 5% allows more), else refused. A GeoPackage's layer must be a table, not a view.
//	  - Without --elevation the services of acreband services are asked for the ground: the finest first, newest project first, coarser
//	    ones only for ground that is void in those. Only the blocks of the ground are fetched, into the user's cache folder (--cache, at most
//	    --cache-limit 2GB); the same job again needs no network for a week, and with --offline ever. Sheets say who found it, which project, how old
//	    it is. A service that fails ends the job; --elevation KEY takes one alone. --services FILE takes your list: any STAC API, or a file by address.
//	    acreband elevation --parcel lot.kml lists what there is, --cached what is kept.
//	  - The elevation may be anything GDAL reads, in any CRS: one raster or several, a zip, a folder of tiles, a tile index, an
//	    http address, or a public service by name (acreband services lists them). The finest that covers the ground is used;
//	    what it lacks is filled from coarser ones, and the map says which acres rest on which. It must be bare earth: what says or
//	    looks like slope, shade or growth is left out of a folder and refused alone, and so are two that do not show one ground.
//	    Of rasters with equal cells the newest survey serves, then the first by name. --nodata 0 names a value that stands for no height.
//	    A file that names addresses itself, such as a VRT of remote rasters, asks nobody unless you say --allow-remote.
//	  - You get job7/sheet.pdf, two or three pages for the truck, and job7/sheet.html, the same on a screen or phone (touch a zone, or
//	    Tab to it, and it tells its numbers); job7/zones.png, a picture with the acres of each zone; job7/zones.geojson with
//	    their outlines and the hazards. Titles say as planned or by limits; page 1 and map.png say what the crew clears and
//	    what makes that void. Page 2 has the crews to choose from and a small second map by limits. --for crew leaves out both, and prices.
//	  - The screen answers in 30 lines of 80 columns: whom to bring, for how many days and what price; what makes that void (STOP);
//	    the crews to choose from; what rain takes off; what stays standing, by why; the three worst dangers beside ground that this
//	    crew works; what to type next. --details prints all else: acres by machine, sources of limits, rates, what was assumed,
//	    cautions. It goes to standard output, in color on a terminal (not with NO_COLOR), and to standard error with --out -.
//	  - --write chooses: geojson,png,sheet,pdf unless you say otherwise, and map (a picture for messages), kml, kmz and
//	    gpx for a phone, gpkg (with a style beside it), bands and slope (cloud-optimized GeoTIFFs in the elevation's own
//	    cells), csv. Text that a spreadsheet would run as a formula has an apostrophe before it in the CSV only. Names
//	    are drawn in 37 scripts, from right to left where they run so; one with a letter that no built-in font holds, such as a
//	    picture sign, gives way on maps and in the PDF to the lot's number, such as #12.
//	  - A zone is the ground that goes to the first machine of your fleet that may work it. No machine is hand work, or ground
//	    to leave. No elevation data is ground nobody has measured: it is never guessed.
//
// Ask what a raster is before you trust it; heights in feet that pass for meters are the mistake that kills:
//
//	bin/acreband elevation ridge.tif
//
// # What a machine is asked
//
// A machine is held to its limit straight up and down and to a lower one across. It keeps to headings that meet both; where
// it turns, the whole slope is across it, all round its middle as far as half its diagonal, so ground above the limit across must
// lie within a run of 200 ft, oblique ways counted, of ground where it can turn. Ground beyond the parcel and --travel serves
// neither for turning nor for width. It fits only where it has a foot to spare on either side, crosses no bank or ditch above its step, keeps back from drop-offs, told
// with their height and its range, by its length or that height, and by its length (crest) from every crest beyond which the ground falls steeper than its limit for 10 ft of
// height or more. A boom works what it reaches, height counted, from where it may stand and swing: there all ground under the
// machine is within its limits, and the edges of faces above 67% are kept back from by their height, to 1.5 times its length. A patch too small to
// be worth moving to goes to the next machine that may work all of it, or to hand work; so does ground that is too small a patch
// for a machine by itself, whoever comes before it, so that no crew is sent to scraps. Every acre that a machine loses is
// told with the first rule that took it, with --details and in lost_acres; ask about one spot with
//
//	bin/acreband map --elevation ridge.tif --parcel lot.kml --out job7 --why 36.34200 N, 84.24550 W
//
// --why, --staging and --help-at take a spot as the program prints it, or two bare numbers in either order: where the parcel
// lies decides which is the latitude, and the answer says so.
//
// --ground wet draws the zones by the limits for wet ground; both acreages always stand side by side. --slope-only asks
// nothing but slope. On cells of 20 m and more no way can be told from another, and only the cell itself is asked.
//
// Tell what the raster cannot see:
//
//		bin/acreband map --elevation ridge.tif --parcel lot.kml --site site.gpkg --staging gate.kml --travel lane.kml --out job7
//
//	  - --staging is where the trailer unloads: a file, or a spot. Machines are then held to what they can drive to inside the parcel and
//	    --travel; without it every output says access not checked. Pieces that are cut off are listed, and up to three places
//	    on the boundary that open most ground. weight, width and height of a place are what is posted on the road there: a
//	    machine is unloaded where its load gets to, short of it if need be. Staging that no machine drives off is refused.
//	  - --site FILE takes the formats of boundaries; a field kind says what each shape is: no-go, soft (bears 6psi),
//	    leave-tree, selective, overhead-line (kv 115kV), building, road, path, cover (class, stem the thickest,
//	    typical what most are, tall, stems), staging,
//	    travel, ground (no water, however flat), gate (width), bridge (weight), which hold each machine by its own figures and must touch the parcel or travel
//	    ground; water, railway, pipeline, tower, cliff, each with its strip, and people. Layers or KML folders called by a kind need no field. setback is a width (50ft)
//	    or a published rule: kentucky-for-69, filter-strip, trimble-sartz, south-carolina. Along drainage lines with 3 acres of flow
//	    or more the filter strip is proposed, not applied, on map and sheet with the acres it would take; setback: filter-strip
//	    under job: of the fleet file applies it.
//	  - --growth auto finds the first surface of the same survey, where the service has one. Heights of growth propose the class of cover by zone
//	    (by height and closure, common practice, no source; never stem size); the plan takes it only with --cover lidar.
//	  - --site also takes an OpenStreetMap extract (.osm, .osm.pbf): what it shows within 200 m of the lots counts as if it were
//	    drawn, and gives way to what you draw of the same. A line without a voltage keeps 50 ft; --water-setback 50ft (or a rule)
//	    keeps from its water. It never proves ground empty. --site auto asks an
//	    Overpass API instead, which your own list names (--services); none is built in. Every output says © OpenStreetMap contributors, ODbL.
//	  - --surface PATH takes a first-surface raster. Less the ground it is the least height of the growth: leaf-off or old
//	    flights miss brush, height is not stem size, and roofs read as growth. A machine is held off growth above what it
//	    handles. A surface that is bare earth, swapped with the ground, in another unit or on another datum is refused.
//
// Drop-offs, steep ground right above or below a zone, pinch points on the way, drainage lines, low spots, overhead lines and
// people within the thrown-object distance are features of their own in GeoJSON, GeoPackage, KML and GPX, each with its caution. Draws and
// low spots are least values: what flows in from beyond the elevation read is unknown, and culverts are not in a raster.
// --simplify 3ft draws the lines between zones with fewer corners; ground goes only to a machine that may work all of
// every cell it gets a part of, or to hand work.
//
// make site maps an invented site (examples/site) on which every rule changes the map: a bench that only a neighbor's
// lane leads to, a wet draw with one crossing, a pond's bank, a power line, leave trees, a house next door. Its README
// tells what to leave out to see each rule.
//
// # What to bring, and what to check
//
// The plan is a ladder of crews: the first rung is the least price per acre, each further one clears more, with the price of each
// extra acre. It is an estimate, not a quote, at the likeliest figures: its median (p50 of the ranges in
// zones.geojson) lies some 7% above. Without a cover class (--cover medium, or cover polygons in --site) there are
// hours and no price. --worth 1500 (dollars an acre more is worth) chooses the rung, --bring track-loader,remote-crawler fixes
// the crew, --days 20 (working days) and --budget 15000 (dollars of the price) bound it; a shell takes $15000 for a variable,
// so the answer says what was read. With a crew, maps show its ground (as planned); --view limits shows the first machine of
// the fleet that may work each spot. Rates and costs are under plan: and job: of the fleet file; figures you have not written
// are listed as assumed.
//
//	bin/acreband checks --elevation ridge.tif --parcel lot.kml --out job7
//	bin/acreband readings filled-in.csv --checks job7/checks.geojson
//	bin/acreband progress track.gpx --cut-width 6ft --machine track-loader --elevation ridge.tif --parcel lot.kml
//
// checks picks spots to measure with a clinometer, as GPX, GeoJSON, a table and a list to print. Nobody is sent on foot
// above 50% (35% wet), nor where only steeper ground leads: such spots are sighted from toe or crest. Write each reading
// with its unit (32%, 18deg) into the table, or name the waypoint S07 32%; or type it at its check in sheet.html on a phone,
// which keeps it and saves readings.csv for readings (its checks are those that checks picks of the same job without options
// of its own). sheet.html also shows where you stand, its zone and limit, if saved on the phone or opened from an https
// address. readings tells which spots are over their machine's limit, how map and ground agree, and the margin that would
// have kept them within it: map --margin 3%.
// progress sets worked ground (polygons, or tracks with a cutting width; a track without times needs --day 2026-05-04)
// and --hours against the map, and tells the
// rates to write back.
//
// # How sure it is
//
// Where the raster's cells are less than half of what a machine stands on (10 ft unless the fleet says otherwise), slope is
// that of the plane under the machine, and steps and roughness hidden by that plane are held to limits of their own.
// --slope-scale cell takes single cells instead. A coarser raster is mapped cell by cell, with a warning.
//
// No elevation is exact. Each machine's acres are parted into those that are within every limit they rest on (along, across,
// where it turns and swings) with 90% certainty and those to walk first. That goes by the error of the heights, measured from
// the raster where that is less than what is assumed of such cells, or given with --elevation-error 0.1m or a kind such as
// --elevation-error lidar-ql2; and by the slope that cells longer than a machine hide, told from how rough the raster is. The
// coarser the cells, the fewer acres are sure; from 20 m on none is. --cautious draws the zones inside the limits along by
// all that, and counts what asks for a procedure or a tether by the error too; limits across stay as they are. Noise of 0.04 to 0.25 m
// from cell to cell is smoothed before slope is taken, and a raster too noisy for a machine is told. What the elevation itself makes
// doubtful (steps of whole meters, tree tops, seams, a raster resampled from a coarser one, heights that look like feet)
// is told as a warning. Water from 0.05 acres, dead-flat or within millimeters of it below rougher ground, and voids that are not declared,
// are no-go, unless --water-is-ground, or a shape of kind ground says so there.
// --boundary county tells how many acres lie too near to a line that is known only so well.
//
// # Your fleet
//
// The built-in fleet is a track loader (30% along, 15% across), a dedicated carrier for large open ground (30/15), a
// boom-mounted head (35/15 driving, 25/10 where it swings) and a remote crawler (50/45; to 100% only on a tether that
// your fleet file says its manual allows). Each has lower limits for wet ground, and its reach, width, pressure, stems,
// growth and smallest patch: planning defaults, common practice, no source. Make it yours; the file explains every key:
//
//	bin/acreband fleet > fleet.yaml
//	bin/acreband map --fleet fleet.yaml --elevation ridge.tif --parcel lot.kml --out job7
//
// # On a page
//
//	bin/acreband serve --elevation tiles
//
// prints an address on this machine. Drop a boundary there, or two as lots of one job, or draw one: it says which crew to bring, at what price,
// which machine goes where and what to check first. The ground lies across the top; under it each machine has a card (key,
// acres, limits as 30%, 14°, 14deg or 1:4, a tick to bring it), and the crews are steps to stand on. Put down staging and
// no-go, see the map as planned or by limits, undo, save the job as one file, and download every file of map. A limit raised above the fleet file's asks who and why, and every output prints it. Elevation (GeoTIFF, .asc), a surface, a site file, staging and ground to travel over are dropped there too: each is told by
// what it holds, asked about where that leaves it open, listed, and removed again; elevation dropped stands instead of that of --elevation. Such files stay on this machine,
// 512 MB each and 2 GB together at most, until the page is left or half an hour goes by; a saved job names them with their SHA-256 and asks for them when it is opened.
// A switch tells the page, its sheet, tables and files in acres, feet and miles or in hectares, meters and kilometers (--units is what a new page begins in); plain numbers
// are read in what it is at, and 1500/ac, 3700/ha, 50ft or 15m as they are written. The browser and the saved job keep it; a job saved without is in acres.
// With several lots each has its figures in a table. With --elevation it needs no network, else it asks the services for each boundary; it keeps no
// file of yours beyond that, and answers to this machine alone unless --allow-network: then only to who opens the printed address, which carries
// a key. It takes no more than 4.2 GB of memory, maps of 25 million cells (6,000 acres at 1 m) among them. Each of at most two
// uploads is read in a process of its own, within half a GB (on Linux) and 30 seconds.
//
// # If you run a subdivision
//
// Every feature of a boundary file is a lot, named by its field lot, name or id, or by the field you name. A few lots
// that lie together are one map:
//
//	bin/acreband map --elevation tiles/a.tif tiles/b.tif --parcel lots.gpkg --id PARCEL_NO --out subdivision
//
// zones.geojson holds one feature for each band of each lot, with the properties lot, zone, machine, acres,
// surface_acres, slope_mean_pct, slope_max_pct, lost_acres, and a summary with the totals, dry and wet, the
// elevation used, what was assumed, and the cautions. --out - writes that GeoJSON to standard output and nothing else
// there. The same input gives the same bytes. All lots of one map share one window of elevation, and
// machines may cross from lot to lot; lots maps each as if it were alone, so its acres for machines are fewer.
//
// Many lots are mapped one by one, however many there are:
//
//	bin/acreband lots --elevation tiles --parcels lots.gpkg --id PARCEL_NO --out subdivision
//
// Without --elevation services are asked once for all lots, and workers and shards fetch what their own lots lie on. lots maps each lot as if it were alone and writes lots.csv, zones.geojson, failed.csv and sheet.html (--write
// chooses among those, zones.gpkg and plan.csv; --split gives each lot a file). Open sheet.html first: a map with
// every lot in the color of what it needs, acres by zone on dry and wet ground, the lots that ask most first, and a shared
// plan in which each machine moves in once: the order of its lots by straight distance, how far over the least that may be,
// and days with --cover light. A lot needs the last machine of the fleet, in its order, whose ground there is 5% of the
// lot or a quarter of an acre; smaller scraps stand in brackets and still count. lots.csv has acres by zone (track_loader_acres), …_verify_acres to
// look at on foot, …_acres_dry and …_acres_wet on dry and on wet ground, repaired and changed_pct where a boundary crossed itself; hazards follow each lot's zones. With --surface a first
// surface is laid against each lot's own ground, and acres by height of growth are added; a lot that it does not fit fails
// with its reason. Lots with the very ground of an earlier lot are noted: sums count it again, the plan works it once.
// Stopped, killed or out of disk, the same command goes on where it was; with changed inputs it refuses and says what changed
// (--anew begins again, --retry-failed tries failed lots again). Ctrl-C finishes the lots at work, twice stops at
// once. --where "ZONING = 'R1' and ACRES >= 0.5" chooses lots. --shard 3/8 does a part and acreband merge --out DIR
// PARTS joins them; examples/cluster does a county that way. make subdivision maps 30 invented lots in one command.
// --units metric tells all of it in hectares, meters and kilometers, columns named so (track_loader_hectares,
// km_from_previous). A run goes on in the units that it was begun in, parts are joined in theirs; others are refused.
//
//	bin/acreband raster --elevation tiles --out bands
//
// writes bands.tif and slope.tif of whole rasters, by slope alone; started again, it goes on. --units metric tells the
// cautions, on the screen and in the files, in meters. Rasters on several grids get a folder each.
//
//	0  done
//	2  the command was used wrongly
//	3  the input cannot be used; the message names the file, the value and what to do
//	4  some lots failed, the others are mapped
//	1  anything else
//
// # What it does not do yet
//
// A coarse raster reads gentler than the ground is. Sharp banks and ditches are found from 18 in on cells up to 4 ft and from 3 ft
// on coarser ones, where they run for 20 ft or more (50 ft on cells of 3 m); lower ones are told there as bank likely, and hold no machine. Beside voids
// none is found. Shapes of --site that
// touch a cell together both count there: leave a small gap between covers.
package main
