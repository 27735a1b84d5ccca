# One-way layers: a file may include its own layer and those listed here, nothing else. Three foreign
# headers belong to one file each. Run over every source and header: awk -f tests/layers.awk FILE...
BEGIN {
	may["base"]      = ""
	may["quantity"]  = "base"
	may["reference"] = "base quantity"
	may["model"]     = "base quantity reference"
	may["load"]      = "base quantity reference model"
	may["solve"]     = "base reference model"
	may["check"]     = "base quantity reference model solve"
	may["advise"]    = "base quantity reference model solve check"
	may["report"]    = "base quantity reference model solve check advise"
	may["api"]       = "base quantity reference model load solve check advise report farend.h"
	may["cli"]       = "base farend.h"
	may["include"]   = ""
	only["<yaml.h>"] = "src/load/yaml_tree.c"
	only["<csv.h>"]  = "src/load/csv_table.c"
	only["<suitesparse/klu.h>"] = "src/solve/klu_matrix.c"
}

function fail(why)
{
	print FILENAME ":" FNR ": " why
	bad = 1
}

FNR == 1 {
	split(FILENAME, at, "/")
	layer = at[1] == "src" ? at[2] : at[1]
	if (!(layer in may))
		fail("no layer is called " layer)
}

/^[ \t]*#[ \t]*include[ \t]*</ {
	match($0, /<[^>]*>/)
	header = substr($0, RSTART, RLENGTH)
	if (header in only && FILENAME != only[header])
		fail(header " belongs to " only[header])
	if (header ~ /yaml|csv|klu|suitesparse|jansson|cmocka|glp/ && !(header in only))
		fail(header " has no place in the layers")
}

/^[ \t]*#[ \t]*include[ \t]*"/ {
	split($0, quoted, "\"")
	split(quoted[2], to, "/")
	if (to[1] != layer && index(" " may[layer] " ", " " to[1] " ") == 0)
		fail(layer " may not include " quoted[2])
}

END { exit bad }
