import { sameLine } from '../../src/conclusions/load/due-line-columns.js';
import type { StoredLine } from '../../src/domain/conclusions/stored-line.js';

const line = (changes: Partial<StoredLine>) =>
  ({ dueOn: '2026-04-06', causes: null, ...changes }) as StoredLine;
const because = (values: Record<string, string>) => ({ causes: [{ code: 'worn', values }] });

describe('a stored due line', () => {
  it('is written anew only if it says something else, not because of the order of fields', () => {
    const concluded = line(because({ component: 'belt', item: 'fan' }));
    expect(sameLine(line(because({ item: 'fan', component: 'belt' })), concluded)).toBe(true);
    expect(sameLine(line(because({ item: 'pump', component: 'belt' })), concluded)).toBe(false);
    expect(sameLine(line({}), concluded)).toBe(false);
    expect(sameLine(line({ dueOn: '2026-04-07' }), line({}))).toBe(false);
    expect(sameLine(line({}), line({}))).toBe(true);
  });
});
