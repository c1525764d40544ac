import { DUE_LINE_FIELDS, dueLineRowOf, type DueLineValues } from '../../src/due-list/due-line-row.js';

describe('a row of the due list that is read as an array', () => {
  it('has each value under the name of its column', () => {
    const row = dueLineRowOf(DUE_LINE_FIELDS as unknown as DueLineValues);
    expect(Object.entries(row)).toEqual(DUE_LINE_FIELDS.map((field) => [field, field]));
  });
});
