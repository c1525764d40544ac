/** A field `circuit` to add to a JSON object: left out where the column is null. */
export const circuitIn = (column: string): string =>
  `case when ${column} is null then '{}' else jsonb_build_object('circuit', ${column}) end`;
