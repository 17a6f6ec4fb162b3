package read

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWhereDecides(t *testing.T) {
	// ZONING R1, ACRES 0.75, OWNER O'Hara, NOTE blank
	row := map[string]string{"ZONING": "R1", "ACRES": "0.75", "OWNER": "O'Hara", "NOTE": "", "Lot size": "10"}
	for text, want := range map[string]bool{
		"ZONING = 'R1'":                           true,
		"ZONING = 'r1'":                           false, // case counts
		"ZONING != 'R1'":                          false,
		"ZONING <> 'R2'":                          true,
		"ACRES >= 0.5 and ACRES < 1":              true,
		"ACRES > 0.75":                            false,
		"ACRES < 10":                              true, // as numbers: as text 0.75 < 10 too
		`"Lot size" > 9`:                          true, // as text it would not be
		"OWNER = 'O''Hara'":                       true,
		"ZONING in ('R2', 'R1')":                  true,
		"ZONING not in ('R2', 'R1')":              false,
		"NOTE is null":                            true,
		"NOTE is not null":                        false,
		"NOTE = ''":                               false, // a blank meets no comparison
		"NOTE != 'x'":                             false,
		"NOTE not in ('x')":                       false,
		"ZONING > 5":                              false, // no number
		"ZONING != 5":                             false,
		"ZONING = 'x' or ACRES > 0 and NOTE = 1":  false, // and binds tighter
		"(ZONING = 'x' or ACRES > 0) and ACRES<1": true,
		"not ZONING = 'x'":                        true,
		"NOT (ZONING = 'R1' AND ACRES = 0.75)":    false,
	} {
		w, err := parseWhere(text)
		require.NoError(t, err, text)
		values := make([]string, len(w.fields))
		for i, f := range w.fields {
			values[i] = row[f]
		}
		require.Equal(t, want, w.holds(values), text)
	}
}

func TestWhereRefuses(t *testing.T) {
	for text, says := range map[string]string{
		"":                     "it ends where the name of a field",
		"ZONING":               "it ends where a comparison",
		"ZONING = R1":          `"R1" stands where a value is wanted`,
		"ZONING = 'R1":         "is not closed",
		"ZONING like 'R%'":     `"like" stands where =`,
		"ZONING = 'R1' ; drop": `";" is too much`,
		"upper(ZONING) = 'R1'": `"(" stands where =`,
		"ZONING in (select 1)": `"select" stands where a value`,
		"(ZONING = 'R1'":       `it ends where ")" is wanted`,
		"'R1' = ZONING":        `"R1" stands where the name of a field`,
		"ZONING not = 'R1'":    `"=" stands where "in" is wanted`,
		"ZONING is 'R1'":       `"R1" stands where "null" is wanted`,
	} {
		_, err := parseWhere(text)
		require.ErrorContains(t, err, says, text)
		require.ErrorContains(t, err, "write such as")
	}
}

func FuzzWhere(f *testing.F) {
	for _, s := range []string{"A = 'x' and (B < 1 or not C in (1, 'y'))", `"a b" is not null`, "((((", "A='''"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		w, err := parseWhere(text)
		if err == nil {
			w.holds(make([]string, len(w.fields)))
		}
	})
}

func TestWhereChoosesLots(t *testing.T) {
	lots, err := Read(t.Context(), "testdata/lots_usft.zip", Options{})
	require.NoError(t, err)
	all := len(lots)
	require.Greater(t, all, 1)
	some, err := Read(t.Context(), "testdata/lots_usft.zip", Options{Where: "num >= 2"})
	require.NoError(t, err)
	require.Less(t, len(some), all)
	for _, lot := range some { // each is the lot that it is in the whole file
		require.Equal(t, lots[lot.Place-1].Ground, lot.Ground)
	}

	_, err = Read(t.Context(), "testdata/lots_usft.zip", Options{Where: "num = 77"})
	require.ErrorContains(t, err, "none of its lots meets where num = 77")
	_, err = Read(t.Context(), "testdata/lots_usft.zip", Options{Where: "ZONE = 'A'"})
	require.ErrorContains(t, err, `has no field "ZONE" to choose lots by: its fields are PARCEL, num`)
}

func TestLotsNotToBeLookedAt(t *testing.T) {
	bad := errors.New("reading it killed the process")
	var asked []int
	look := func(place int) error {
		asked = append(asked, place)
		if place == 2 {
			return bad
		}
		return nil
	}
	lots, err := Read(t.Context(), "testdata/lots_usft.zip", Options{Look: look})
	require.NoError(t, err)
	require.NoError(t, lots[0].Err)
	require.ErrorIs(t, lots[1].Err, bad)
	require.Empty(t, lots[1].Ground)
	require.Len(t, asked, len(lots))
}
