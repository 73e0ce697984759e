package scalar

import (
	"github.com/99designs/gqlgen/graphql"

	"layshaft/catalog"
	"layshaft/catalog/standard"
	"layshaft/reconcile"
)

// The domain's words are types of their own; the API shows them as String.

func marshalWord[T ~string](v T) graphql.Marshaler { return graphql.MarshalString(string(v)) }

func unmarshalWord[T ~string](v any) (T, error) {
	s, err := graphql.UnmarshalString(v)
	return T(s), err
}

// MarshalFamilyID and UnmarshalFamilyID show catalog.FamilyID as String.
func MarshalFamilyID(v catalog.FamilyID) graphql.Marshaler { return marshalWord(v) }
func UnmarshalFamilyID(v any) (catalog.FamilyID, error)    { return unmarshalWord[catalog.FamilyID](v) }

// MarshalVariantID and UnmarshalVariantID show catalog.VariantID as String.
func MarshalVariantID(v catalog.VariantID) graphql.Marshaler { return marshalWord(v) }
func UnmarshalVariantID(v any) (catalog.VariantID, error)    { return unmarshalWord[catalog.VariantID](v) }

// MarshalPositionID and UnmarshalPositionID show catalog.PositionID as String.
func MarshalPositionID(v catalog.PositionID) graphql.Marshaler { return marshalWord(v) }
func UnmarshalPositionID(v any) (catalog.PositionID, error) {
	return unmarshalWord[catalog.PositionID](v)
}

// MarshalPartID and UnmarshalPartID show catalog.PartID as String.
func MarshalPartID(v catalog.PartID) graphql.Marshaler { return marshalWord(v) }
func UnmarshalPartID(v any) (catalog.PartID, error)    { return unmarshalWord[catalog.PartID](v) }

// MarshalSupplierID and UnmarshalSupplierID show catalog.SupplierID as String.
func MarshalSupplierID(v catalog.SupplierID) graphql.Marshaler { return marshalWord(v) }
func UnmarshalSupplierID(v any) (catalog.SupplierID, error) {
	return unmarshalWord[catalog.SupplierID](v)
}

// MarshalTable and UnmarshalTable show catalog.Table as String.
func MarshalTable(v catalog.Table) graphql.Marshaler { return marshalWord(v) }
func UnmarshalTable(v any) (catalog.Table, error)    { return unmarshalWord[catalog.Table](v) }

// MarshalAttributeKey and UnmarshalAttributeKey show catalog.AttributeKey as String.
func MarshalAttributeKey(v catalog.AttributeKey) graphql.Marshaler { return marshalWord(v) }
func UnmarshalAttributeKey(v any) (catalog.AttributeKey, error) {
	return unmarshalWord[catalog.AttributeKey](v)
}

// MarshalValueKind and UnmarshalValueKind show catalog.ValueKind as String.
func MarshalValueKind(v catalog.ValueKind) graphql.Marshaler { return marshalWord(v) }
func UnmarshalValueKind(v any) (catalog.ValueKind, error)    { return unmarshalWord[catalog.ValueKind](v) }

// MarshalPartKind and UnmarshalPartKind show catalog.PartKind as String.
func MarshalPartKind(v catalog.PartKind) graphql.Marshaler { return marshalWord(v) }
func UnmarshalPartKind(v any) (catalog.PartKind, error)    { return unmarshalWord[catalog.PartKind](v) }

// MarshalNumberRole and UnmarshalNumberRole show catalog.NumberRole as String.
func MarshalNumberRole(v catalog.NumberRole) graphql.Marshaler { return marshalWord(v) }
func UnmarshalNumberRole(v any) (catalog.NumberRole, error) {
	return unmarshalWord[catalog.NumberRole](v)
}

// MarshalSaleUnit and UnmarshalSaleUnit show catalog.SaleUnit as String.
func MarshalSaleUnit(v catalog.SaleUnit) graphql.Marshaler { return marshalWord(v) }
func UnmarshalSaleUnit(v any) (catalog.SaleUnit, error)    { return unmarshalWord[catalog.SaleUnit](v) }

// MarshalAssembly and UnmarshalAssembly show catalog.Assembly as String.
func MarshalAssembly(v catalog.Assembly) graphql.Marshaler { return marshalWord(v) }
func UnmarshalAssembly(v any) (catalog.Assembly, error)    { return unmarshalWord[catalog.Assembly](v) }

// MarshalBondKind and UnmarshalBondKind show catalog.BondKind as String.
func MarshalBondKind(v catalog.BondKind) graphql.Marshaler { return marshalWord(v) }
func UnmarshalBondKind(v any) (catalog.BondKind, error)    { return unmarshalWord[catalog.BondKind](v) }

// MarshalSupersessionKind and UnmarshalSupersessionKind show catalog.SupersessionKind as String.
func MarshalSupersessionKind(v catalog.SupersessionKind) graphql.Marshaler { return marshalWord(v) }
func UnmarshalSupersessionKind(v any) (catalog.SupersessionKind, error) {
	return unmarshalWord[catalog.SupersessionKind](v)
}

// MarshalStackMethod and UnmarshalStackMethod show catalog.StackMethod as String.
func MarshalStackMethod(v catalog.StackMethod) graphql.Marshaler { return marshalWord(v) }
func UnmarshalStackMethod(v any) (catalog.StackMethod, error) {
	return unmarshalWord[catalog.StackMethod](v)
}

// MarshalFeatureKind and UnmarshalFeatureKind show catalog.FeatureKind as String.
func MarshalFeatureKind(v catalog.FeatureKind) graphql.Marshaler { return marshalWord(v) }
func UnmarshalFeatureKind(v any) (catalog.FeatureKind, error) {
	return unmarshalWord[catalog.FeatureKind](v)
}

// MarshalQuality and UnmarshalQuality show catalog.Quality as String.
func MarshalQuality(v catalog.Quality) graphql.Marshaler { return marshalWord(v) }
func UnmarshalQuality(v any) (catalog.Quality, error)    { return unmarshalWord[catalog.Quality](v) }

// MarshalJobID and UnmarshalJobID show reconcile.JobID as String.
func MarshalJobID(v reconcile.JobID) graphql.Marshaler { return marshalWord(v) }
func UnmarshalJobID(v any) (reconcile.JobID, error)    { return unmarshalWord[reconcile.JobID](v) }

// MarshalGoodsSource and UnmarshalGoodsSource show reconcile.GoodsSource as String.
func MarshalGoodsSource(v reconcile.GoodsSource) graphql.Marshaler { return marshalWord(v) }
func UnmarshalGoodsSource(v any) (reconcile.GoodsSource, error) {
	return unmarshalWord[reconcile.GoodsSource](v)
}

// MarshalFittedState and UnmarshalFittedState show reconcile.FittedState as String.
func MarshalFittedState(v reconcile.FittedState) graphql.Marshaler { return marshalWord(v) }
func UnmarshalFittedState(v any) (reconcile.FittedState, error) {
	return unmarshalWord[reconcile.FittedState](v)
}

// MarshalSubject and UnmarshalSubject show standard.Subject as String.
func MarshalSubject(v standard.Subject) graphql.Marshaler { return marshalWord(v) }
func UnmarshalSubject(v any) (standard.Subject, error)    { return unmarshalWord[standard.Subject](v) }

// MarshalSide and UnmarshalSide show standard.Side as String.
func MarshalSide(v standard.Side) graphql.Marshaler { return marshalWord(v) }
func UnmarshalSide(v any) (standard.Side, error)    { return unmarshalWord[standard.Side](v) }

// MarshalCharacter and UnmarshalCharacter show standard.Character as String.
func MarshalCharacter(v standard.Character) graphql.Marshaler { return marshalWord(v) }
func UnmarshalCharacter(v any) (standard.Character, error) {
	return unmarshalWord[standard.Character](v)
}
