/**
 * Makes rows of the arrays of values that a statement for "rows as arrays" gives. A row keeps its
 * array and reads a field from its place there, so making one costs next to nothing, however many
 * columns it has. Its fields are accessors: copy them by name, for a spread does not see them.
 *
 * @param fields the names of the columns, in their order
 * @example arrayRows<{ id: string }>(['id'])(['a5']).id // 'a5'
 */
export function arrayRows<Row>(fields: readonly (keyof Row & string)[]): (values: readonly unknown[]) => Row {
  class ArrayRow {
    constructor(readonly values: readonly unknown[]) {}
  }
  for (const [place, field] of fields.entries()) {
    Object.defineProperty(ArrayRow.prototype, field, {
      get(this: ArrayRow) {
        return this.values[place];
      },
    });
  }
  return (values) => new ArrayRow(values) as Row;
}
