/**
 * Returns a function that makes a row object from an array of values, as a statement in array mode
 * returns them. The row keeps the array and reads each field from it, so making a row costs next to
 * nothing, however many columns it has. Its fields are accessors on the prototype: copy them by
 * name, because a spread does not include them.
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
