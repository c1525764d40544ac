import { DUE_LINE_FIELDS, dueLineRowOf } from '../../../src/conclusions/due-list/due-line-row.js';

describe('a row of the due list that is read as an array', () => {
  it('has each value under the name of its column', () => {
    const row = dueLineRowOf(DUE_LINE_FIELDS);
    for (const field of DUE_LINE_FIELDS) expect(row[field]).toBe(field);
    expect(DUE_LINE_FIELDS).toHaveLength(44);
  });
});
