package rounds

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/fraugster/parquet-go"
	"github.com/fraugster/parquet-go/parquet"
	"github.com/fraugster/parquet-go/parquetschema"

	"lapwing/sim/trials"
)

// column is one column of the table of results.
type column struct {
	name string
	kind string // as a Parquet schema writes it
	of   func(r *trials.Result) any
}

const (
	parquetText     = "required binary %s (STRING);"
	parquetWhole    = "required int64 %s;"
	parquetFlag     = "required boolean %s;"
	parquetNumber   = "required double %s;"
	parquetOptional = "optional double %s;"
)

// columns are those of every table; a sweep adds one for each axis. Names carry the
// unit, as in the JSON lines.
var columns = []column{
	{"case", parquetWhole, func(r *trials.Result) any { return int64(r.ID) }},
	{"scenario", parquetText, func(r *trials.Result) any { return []byte(r.Scenario) }},
	{"craft", parquetText, func(r *trials.Result) any { return []byte(r.Craft) }},
	{"law", parquetText, func(r *trials.Result) any { return []byte(r.Law) }},
	{"pilot", parquetText, func(r *trials.Result) any { return []byte(r.Pilot) }},
	{"seed", parquetWhole, func(r *trials.Result) any { return int64(r.Seed) }},
	{"outcome", parquetText, func(r *trials.Result) any { return []byte(r.Outcome) }},
	{"error", parquetText, func(r *trials.Result) any { return []byte(r.Error) }},
	{"hard_outcome", parquetText, func(r *trials.Result) any { return []byte(r.Hard) }},
	{"event", parquetFlag, func(r *trials.Result) any { return r.Event }},
	{"end_s", parquetNumber, func(r *trials.Result) any { return r.EndS }},
	{"number", parquetNumber, func(r *trials.Result) any { return r.Number }},
	{"watched_s", parquetNumber, func(r *trials.Result) any { return r.WatchedS }},
	{"time_to_first_right_s", parquetOptional, func(r *trials.Result) any { return orNil(r.FirstRightS) }},
	{"max_away_m", parquetOptional, func(r *trials.Result) any { return orNil(r.MaxAwayM) }},
	{"max_tilt_deg", parquetOptional, func(r *trials.Result) any { return orNil(r.MaxTiltDeg) }},
	{"touchdown_m_s", parquetOptional, func(r *trials.Result) any { return orNil(r.TouchdownM) }},
	{"min_clearance_m", parquetOptional, func(r *trials.Result) any { return orNil(r.ClearanceM) }},
}

func orNil(x *float64) any {
	if x == nil {
		return nil
	}
	return *x
}

// rowsAtOnce are written at a time, so that memory does not grow with the results.
const rowsAtOnce = 50_000

var errEnough = errors.New("enough")

// WriteParquet writes the results of a finished folder as a Parquet file.
func WriteParquet(dir, file string) error {
	table := columns
	err := Each(dir, func(r *trials.Result, _ []byte) error {
		for i, s := range r.Point {
			table = append(table[:len(table):len(table)], column{"sweep_" + s.Of + "_" + s.Key, parquetNumber,
				func(r *trials.Result) any { return r.Point[i].Value }})
		}
		return errEnough // the first tells the axes of all
	})
	if err != nil && !errors.Is(err, errEnough) {
		return err
	}
	var schema strings.Builder
	for _, c := range table {
		fmt.Fprintf(&schema, c.kind+"\n", c.name)
	}
	definition, err := parquetschema.ParseSchemaDefinition("message results {\n" + schema.String() + "}")
	if err != nil {
		return err
	}
	return writeWhole(file, func(to io.Writer) error {
		w := goparquet.NewFileWriter(to, goparquet.WithSchemaDefinition(definition), goparquet.WithCreator("lapwing"),
			goparquet.WithCompressionCodec(parquet.CompressionCodec_SNAPPY))
		if err := fillParquet(w, dir, table); err != nil {
			return err
		}
		return w.Close()
	})
}

func fillParquet(w *goparquet.FileWriter, dir string, table []column) error {
	rows := 0
	return Each(dir, func(r *trials.Result, _ []byte) error {
		row := make(map[string]any, len(table))
		for i := range table {
			if x := table[i].of(r); x != nil {
				row[table[i].name] = x
			}
		}
		if err := w.AddData(row); err != nil {
			return err
		}
		if rows++; rows%rowsAtOnce == 0 {
			return w.FlushRowGroup()
		}
		return nil
	})
}
