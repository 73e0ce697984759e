package exchange

import (
	"encoding/json"

	"layshaft/catalog"
)

type jsonPackage struct {
	Profile   string         `json:"profile"`
	Name      string         `json:"name"`
	Title     string         `json:"title"`
	Resources []jsonResource `json:"resources"`
}

type jsonResource struct {
	Profile  string      `json:"profile"`
	Name     string      `json:"name"`
	Path     string      `json:"path"`
	Format   string      `json:"format"`
	Encoding string      `json:"encoding"`
	Dialect  jsonDialect `json:"dialect"`
	Schema   jsonSchema  `json:"schema"`
}

type jsonDialect struct {
	Delimiter  string `json:"delimiter"`
	Terminator string `json:"lineTerminator"`
	Header     bool   `json:"header"`
}

type jsonSchema struct {
	Fields      []jsonField   `json:"fields"`
	Missing     []string      `json:"missingValues"`
	PrimaryKey  []string      `json:"primaryKey,omitempty"`
	UniqueKeys  [][]string    `json:"uniqueKeys,omitempty"`
	ForeignKeys []jsonForeign `json:"foreignKeys,omitempty"`
}

type jsonField struct {
	Name        string          `json:"name"`
	Type        string          `json:"type"`
	Description string          `json:"description,omitempty"`
	TrueValues  []string        `json:"trueValues,omitempty"`
	FalseValues []string        `json:"falseValues,omitempty"`
	Constraints *jsonConstraint `json:"constraints,omitempty"`
}

type jsonConstraint struct {
	Required bool     `json:"required,omitempty"`
	Minimum  *int     `json:"minimum,omitempty"`
	Pattern  string   `json:"pattern,omitempty"`
	Enum     []string `json:"enum,omitempty"`
}

type jsonForeign struct {
	Fields    []string `json:"fields"`
	Reference struct {
		Resource string   `json:"resource"`
		Fields   []string `json:"fields"`
	} `json:"reference"`
}

// Descriptor is the datapackage.json of every export: a Tabular Data Package
// (profile "tabular-data-package") with a Table Schema for each table. Keys in
// which a column may be blank are given as uniqueKeys, since a Table Schema
// primary key allows no blanks; references of list columns can't be stated in
// Table Schema and are left to the import.
func Descriptor() ([]byte, error) {
	p := jsonPackage{Profile: "tabular-data-package", Name: "catalogue", Title: "Catalogue of gearbox variants and parts"}
	for _, l := range Layout() {
		p.Resources = append(p.Resources, jsonResource{
			Profile: "tabular-data-resource", Name: l.Name, Path: l.Name + csvSuffix, Format: "csv", Encoding: "utf-8",
			Dialect: jsonDialect{Delimiter: ",", Terminator: "\n", Header: true},
			Schema:  schemaOf(l),
		})
	}
	data, err := json.MarshalIndent(p, "", "  ")
	if err != nil {
		return nil, err
	}
	return append(data, '\n'), nil
}

func schemaOf(l TableLayout) jsonSchema {
	s := jsonSchema{Missing: []string{""}}
	allRequired := true
	for _, c := range l.Columns {
		s.Fields = append(s.Fields, fieldOf(c))
	}
	for _, k := range l.Key {
		c, _ := l.Column(k)
		allRequired = allRequired && c.Required
	}
	if allRequired {
		s.PrimaryKey = l.Key
	} else {
		s.UniqueKeys = [][]string{l.Key}
	}
	for _, r := range l.References {
		if c, _ := l.Column(r.Columns[len(r.Columns)-1]); c.Type == TypeList || !c.Required && len(r.Columns) > 1 {
			continue
		}
		f := jsonForeign{Fields: r.Columns}
		f.Reference.Resource, f.Reference.Fields = r.Table, r.To
		s.ForeignKeys = append(s.ForeignKeys, f)
	}
	return s
}

// typeNotes say how cells of a type are written.
var typeNotes = map[Type]string{
	TypeList:   "items separated by '|'",
	TypeLength: "length with its unit: 35 mm",
	TypeAngle:  "angle with its unit: 25.5°",
	TypeTorque: "torque with its unit: 90 N·m",
	TypeMoney:  "amount with ISO 4217 code: 18.40 EUR",
	TypeLead:   "working days, best/likely/worst: 2/4/9",
	TypeValue:  "written as the declared kind of the attribute or feature wants it",
}

func fieldOf(c Column) jsonField {
	f := jsonField{Name: c.Name, Type: "string", Description: typeNotes[c.Type]}
	constraint := jsonConstraint{Required: c.Required, Enum: c.Words}
	switch c.Type {
	case TypeCount:
		f.Type = "integer"
		constraint.Minimum = &c.Least
	case TypeYesNo:
		f.Type = "boolean"
		f.TrueValues, f.FalseValues = []string{"yes"}, []string{"no"}
	case TypeDate:
		f.Type = "date"
	case TypeID:
		constraint.Pattern = catalog.IDPattern
	}
	if constraint.Required || constraint.Enum != nil || constraint.Minimum != nil || constraint.Pattern != "" {
		f.Constraints = &constraint
	}
	return f
}
