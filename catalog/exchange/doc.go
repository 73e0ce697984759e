// Package exchange moves a whole catalogue in and out as tables: a folder of
// CSV files with an open Tabular Data Package descriptor (datapackage.json,
// Table Schema), or the same tables as sheets of one XLSX file.
//
// # Tables and columns
//
// One file a table, named <table>.csv; the first row names the columns, in any
// order. '*' marks a column that must be there and filled in every row; any
// other column may be left out, and a blank cell in it is "none", 0 or "no".
// '[]' is a short list: items separated by '|'.
//
//	families        id* name* box* centre_distance* note standing source
//	shafts          family* id* name* offset
//	wheels          family* id* label* position* at case_closed
//	meshes          family* id* driving* driven* centre_distance normal_module helix idler[]
//	speeds          family* name* meshes[] reverse
//	variants        id* family* name* without[] note standing source
//	teeth           variant* wheel* teeth*
//	positions       family* id* name* assembly* kind* quantity* life* critical blocking outside shaft
//	                from width places[] order note standing source
//	attributes      key* label* kind* choices[] how_to standing source
//	parts           id* kind* name* designation special unit* not_available note standing source
//	numbers         part* issuer* text* role*
//	properties      part* key* at value* standing source
//	contents        set* part* count* choice
//	fitments        variant* position* part* standard quantity standing source
//	mates           family* id* a_position* a_key* a_at b_position* b_key* b_at relation* min max reason*
//	                standing source
//	bonds           family* id* kind* positions[]* advice reason* standing source
//	disturbances    family* reach* undoes* reason* standing source
//	stacks          family* id* name* position* members[]* method* min max aim thicker_opens torque_min
//	                torque_max torque_per_grade gasket gasket_sigma max_count* thinnest span material
//	                preferred note standing source
//	limits          family* id* position* what* new_min new_max wear_min wear_max instrument resolution
//	                key at standing source
//	features        family* id* label* kind* case_closed effort sigma error_rate speed note standing source
//	feature_values  family* feature* variant* value*
//	supersessions   id* old* new* kind* serial_from serial_to reason standing source
//	companions      supersession* part* count* choice
//	suppliers       id* name* currency* freight free_from minimum_order small_order_fee cut_off treats
//	                note standing source
//	offers          id* supplier* part* pack* minimum* stock stock_date lead* quality* return_days
//	                return_fee core note standing source
//	breaks          offer* from* price*
//	words           canonical* variant* kind* language ambiguous note standing source
//	aliases         supplier text* family part count standing source
//
// # Cells
//
//   - lengths, angles, torques and money carry their unit in the cell: "35 mm",
//     "25.5°", "90 N·m", "18.40 EUR"; a lead time is "2/4/9" working days, a
//     date "2026-03-09"; counts are whole numbers
//   - yes/no columns hold "yes", "no" or nothing
//   - closed sets are written as the catalogue's words: life is one-time, wear,
//     hard, select-fit or inspect, standing is confirmed, stated, derived or doubted
//   - properties.value is written as the attribute's declared kind wants it,
//     mates.min and mates.max as the kind of a_key, feature_values.value as the
//     feature's kind: a count, yes or no, a length, a mark's text, and for a
//     ratio the exact fraction, "1116/299"
//   - nested rows (shafts of a family, breaks of an offer) keep the order of
//     their rows; the order of all other rows means nothing
//
// Stamps (revision, who, when) are not part of an exchange: an import is an
// edit of its own.
package exchange
