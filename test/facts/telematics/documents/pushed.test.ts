import { readFileSync } from 'node:fs';
import { readPushedCsv } from '../../../../src/facts/telematics/documents/pushed-csv.js';
import { readPushedJson } from '../../../../src/facts/telematics/documents/pushed-json.js';
import { recorded } from '../../../support/telematics/recorded.js';
import { linesOf, unreadable, valuesOf } from '../../../support/telematics/report-words.js';

const json = (name: string): unknown => JSON.parse(Buffer.from(recorded(name)).toString());
const csv = (text: string): Uint8Array => Buffer.from(text);

it.each(['json', 'csv'])(
  'the example of %s in docs/telematics-documents.md is read as it stands',
  async (kind) => {
    const docs = readFileSync(new URL('../../../../docs/telematics-documents.md', import.meta.url), 'utf8');
    const example = new RegExp('```' + kind + '\\n([^`]+)```').exec(docs)?.[1] ?? '';
    const page =
      kind === 'json' ? await readPushedJson(JSON.parse(example)) : await readPushedCsv(csv(example));
    expect([...page.refused, ...page.machines.flatMap(({ refused }) => refused)]).toEqual([]);
    const [machine] = page.machines;
    expect([machine?.odometerKm.length, machine?.coolantC.length, machine?.faults.length]).toEqual([1, 1, 1]);
  },
);

describe('reports pushed as JSON', () => {
  it('give each quantity in the unit that stands beside it', async () => {
    const { machines, next } = await readPushedJson(json('pushed.json'));
    expect(next).toBeNull();
    expect(machines.map(({ identity }) => identity)).toEqual([
      { vin: '0ZZ00000000000001', serialNumber: null, equipmentId: null, make: 'Marrow & Pike', model: null },
      { vin: null, serialNumber: null, equipmentId: 'Yard 7', make: null, model: null },
    ]);
    // 1 mi = 1.609344 km; 195 °F is (195 − 32) / 1.8 = 90.555556 °C (NIST SP 811).
    expect(valuesOf(machines[0])).toEqual([
      '2026-04-02T15:20:00Z 1609.344 km',
      '2026-04-02T15:20:00Z 52.5 h',
      '2026-04-02T15:20:00Z 90.555556 C',
      '2026-04-02T15:20:00Z SPN 110 FMI 0 gone x3',
    ]);
    expect(machines[0]?.refused).toEqual([]);
  });

  it('are refused value by value', async () => {
    const { machines, refused } = await readPushedJson(json('pushed.json'));
    expect(valuesOf(machines[1])).toEqual(['2026-04-02T15:25:00Z 1001 km']);
    expect(linesOf(machines[1]?.refused ?? [])).toEqual([
      '/machines/1/readings/0/odometer is 1000; an amount with its unit and no more is needed, such as {"value": 1, "unit": "mm"}',
      '/machines/1/readings/1/odometr is not a field that is known here',
      '/machines/1/readings/1 has no value',
      '/machines/1/faults/0/code This is no fault code. Write SPN and FMI, such as SPN 110 FMI 0, or five characters such as P0217.',
    ]);
    expect(linesOf(refused)).toEqual([
      '/machines/2 has none of vin, serialNumber and equipmentId, so nothing says which machine it is',
    ]);
  });

  it.each([
    ['no list', { machines: [{ vin: 'A', readings: {} }] }, '/machines/0/readings is not a list'],
    ['no object', { machines: [{ vin: 'A', faults: [7] }] }, '/machines/0/faults/0 is not an object'],
    [
      'no flag',
      { machines: [{ vin: 'A', faults: [{ at: '2026-04-02T15:20:00Z', code: '110/0', isActive: 'no' }] }] },
      '/machines/0/faults/0/isActive is "no"; true or false is needed',
    ],
    [
      'no count',
      { machines: [{ vin: 'A', faults: [{ at: '2026-04-02T15:20:00Z', code: '110/0', occurrences: 127 }] }] },
      '/machines/0/faults/0/occurrences is "127"; a whole number from 1 to 126 is needed',
    ],
    [
      'unknown field',
      { machines: [{ vin: 'A', wheels: 4 }] },
      '/machines/0/wheels is not a field that is known here',
    ],
  ])('with %s are refused there', async (_, body, expected) => {
    const { machines } = await readPushedJson(body);
    expect(machines.flatMap(({ refused }) => linesOf(refused))).toEqual([expected]);
  });

  // PostgreSQL stores neither NUL nor half of a surrogate pair.
  it('are told in texts that can be stored, whatever is in them', async () => {
    const at = '2026-04-02T15:20:00Z';
    const odometer = { value: 1, unit: 'k\u0000m' };
    const engineHours = { value: '\ud83d', unit: 'h' };
    const { machines, refused } = await readPushedJson({
      machines: [
        { vin: 'A', make: 'B\u0000', readings: [{ at, odometer, engineHours, '\ud800': 1 }] },
        { vin: '\ud800' },
      ],
    });
    expect(machines.map(({ identity }) => [identity.vin, identity.make])).toEqual([['A', null]]);
    expect(linesOf(machines[0]?.refused ?? []).map((line) => line.replace(/;.*/, ''))).toEqual([
      '/machines/0/readings/0/\uFFFD is not a field that is known here',
      '/machines/0/readings/0/odometer has the unit "k\uFFFDm"',
      '/machines/0/readings/0/engineHours has the value "\uFFFD"',
    ]);
    expect(linesOf(refused).map((line) => line.replace(/;.*/, ''))).toEqual([
      '/machines/0/make is "B\uFFFD"',
      '/machines/1/vin is "\uFFFD"',
      '/machines/1 has none of vin, serialNumber and equipmentId, so nothing says which machine it is',
    ]);
  });

  it('without machines are none', async () => {
    for (const body of [undefined, null, 7, [], {}, { machines: {} }])
      expect(await unreadable(readPushedJson(body))).toContain('where machines is needed');
  });
});

describe('reports pushed as CSV', () => {
  it('give one report for each machine, in the units that the header names', async () => {
    const { machines, refused } = await readPushedCsv(recorded('pushed.csv'));
    expect(machines.map(({ identity }) => identity.vin ?? identity.equipmentId)).toEqual([
      '0ZZ00000000000001',
      'Yard 7',
    ]);
    expect(valuesOf(machines[0])).toEqual([
      '2026-04-02T15:20:00Z 1609.344 km',
      '2026-04-02T15:30:00Z 1610.148672 km',
      '2026-04-02T15:20:00Z 52.5 h',
      '2026-04-02T15:20:00Z 88 C',
      '2026-04-02T15:30:00Z SPN 110 FMI 0 gone x3',
    ]);
    expect(valuesOf(machines[1])).toEqual(['2026-04-02T15:20:00Z 7 h', '2026-04-02T15:20:00Z P0217 active']);
    expect(linesOf(machines[0]?.refused ?? [])).toEqual([
      '/5/at is "2026-04-02T15:40"; it lacks the offset from UTC, such as -06:00 or Z',
    ]);
    expect(linesOf(refused)).toEqual([
      '/6 has 10 cells where the header has 9; give as many in each row, and write numbers with a decimal point, not a comma',
      '/7 has none of vin, serial_number and equipment_id, so nothing says which machine it is',
    ]);
  });

  it('refuse a column without its unit, and one that nobody knows, and take the others', async () => {
    const { machines, refused } = await readPushedCsv(recorded('pushed-no-unit.csv'));
    expect(machines.map(valuesOf)).toEqual([['2026-04-02T15:20:00Z 7 h']]);
    const [unit, unknown] = linesOf(refused);
    expect(unit).toBe(
      '/1/odometer has no unit, so odometer was not taken; the units are odometer_km and odometer_mi',
    );
    expect(unknown).toContain('/1/colour colour is not a known column; the columns are at, vin,');
  });

  it.each([
    ['', 'The header needs the columns at and vin, or another column that names the machine.'],
    [
      'at,odometer_km\n',
      'The header needs the columns at and vin, or another column that names the machine.',
    ],
    [
      'vin,odometer_km\n',
      'The header needs the columns at and vin, or another column that names the machine.',
    ],
    [
      'at,vin,odometer_km,odometer_mi\n',
      'The column odometer_mi appears twice, or its quantity in two units. Leave one out.',
    ],
    [
      'at,vin\n2026-04-02T15:20:00Z,"A\n',
      'The document is not CSV: a quote is left open, or a row is too long, at line 2.',
    ],
    ['\u0000,vin\n', 'The header needs the columns at and vin, or another column that names the machine.'],
  ])('%j are none', async (text, why) => {
    expect(await unreadable(readPushedCsv(csv(text)))).toBe(why);
  });
});
