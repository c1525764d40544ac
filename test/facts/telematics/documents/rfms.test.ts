import {
  nextRfmsPage,
  readRfmsStatuses,
  type RfmsPage,
} from '../../../../src/facts/telematics/documents/rfms.js';
import { sayingsOf } from '../../../../src/facts/telematics/documents/tell-tales.js';
import { meaningOf } from '../../../../src/domain/faults/meanings.js';
import { recorded } from '../../../support/telematics/recorded.js';
import { linesOf, unreadable, valuesOf } from '../../../support/telematics/report-words.js';

const read = (document: unknown): Promise<RfmsPage> =>
  readRfmsStatuses(Buffer.from(JSON.stringify(document)));
const statuses = (...vehicleStatuses: unknown[]): unknown => ({ vehicleStatusResponse: { vehicleStatuses } });

describe('vehicle statuses of rFMS 4', () => {
  it('give metres as km, hours, coolant temperature, and lamps as the codes that stand for them', async () => {
    const page = await readRfmsStatuses(recorded('rfms-statuses.json'));
    expect(page.machines.map(({ identity }) => identity.vin)).toEqual([
      '0ZZ00000000000901',
      '0ZZ00000000000902',
    ]);
    expect(valuesOf(page.machines[0])).toEqual([
      '2026-04-02T15:00:00Z 182004.505 km',
      '2026-04-02T15:10:00Z 182010.005 km',
      '2026-04-02T15:00:00Z 4512.5 h',
      '2026-04-02T15:00:00Z 88 C',
      '2026-04-02T15:00:00Z SPN 111 FMI 1 gone by ENGINE_COOLANT_LEVEL',
      '2026-04-02T15:00:00Z SPN 111 FMI 17 active by ENGINE_COOLANT_LEVEL',
      '2026-04-02T15:00:00Z SPN 110 FMI 0 gone by ENGINE_COOLANT_TEMPERATURE',
      '2026-04-02T15:00:00Z SPN 110 FMI 15 gone by ENGINE_COOLANT_TEMPERATURE',
      '2026-04-02T15:10:00Z SPN 110 FMI 0 active by ENGINE_COOLANT_TEMPERATURE',
      '2026-04-02T15:10:00Z SPN 110 FMI 15 gone by ENGINE_COOLANT_TEMPERATURE',
    ]);
    expect(valuesOf(page.machines[1])).toEqual(['2026-04-02T15:01:00Z 1 km']);
    expect(page.machines.flatMap(({ refused }) => refused)).toEqual([]);
  });

  it('say when the server received the request, and where the rest is', async () => {
    expect(await readRfmsStatuses(recorded('rfms-statuses.json'))).toMatchObject({
      next: '/rfms/vehiclestatuses?starttime=2026-04-02T15:10:04Z',
      hasMore: true,
      serverAt: Date.parse('2026-04-02T15:30:00Z'),
      lastVin: '0ZZ00000000000901',
      lastReceivedAt: Date.parse('2026-04-02T15:10:03Z'),
    });
  });

  it('are refused one by one, each with its place', async () => {
    const page = await readRfmsStatuses(recorded('rfms-bad-values.json'));
    const place = '/vehicleStatusResponse/vehicleStatuses';
    expect(page.machines.flatMap(({ refused }) => linesOf(refused))).toEqual([
      `${place}/0/createdDateTime is "2026-04-02 15:00"; it lacks the offset from UTC, such as -06:00 or Z`,
      `${place}/2/hrTotalVehicleDistance is 1e+300 m; it must be from 0 m to 10000000000 m`,
      `${place}/2/totalEngineHours is "{…}"; a number with a decimal point is needed`,
      `${place}/2/uptimeData/engineCoolantTemperature 195 °C is outside what a cooling system can have, -60 °C to 150 °C. Was it 195 °F?`,
    ]);
    expect(linesOf(page.refused)).toEqual([
      `${place}/1 has none of vin, so nothing says which machine it is`,
      `${place}/3 is not an object`,
    ]);
    expect(page.machines.map(valuesOf)).toEqual([[], ['2026-04-02T15:05:00Z 2 km']]);
    expect(page).toMatchObject({ next: null, hasMore: false, serverAt: null });
  });

  it('may be none', async () => {
    const empty = { machines: [], next: null, refused: [], hasMore: false, lastVin: null };
    expect(await read({ vehicleStatusResponse: {} })).toMatchObject(empty);
    expect(await read(statuses())).toMatchObject(empty);
  });

  it.each([
    [
      { error: 'no' },
      'The document has {…} where vehicleStatusResponse is needed. Is the address of the source right?',
    ],
    [statuses, 'The document is not JSON.'],
    [
      null,
      'The document has null where vehicleStatusResponse is needed. Is the address of the source right?',
    ],
    [
      { vehicleStatusResponse: { vehicleStatuses: 'all' } },
      'The document has {…} where vehicleStatusResponse is needed. Is the address of the source right?',
    ],
  ])('%j is no document of them', async (document, why) => {
    expect(await unreadable(readRfmsStatuses(Buffer.from(JSON.stringify(document) ?? '')))).toBe(why);
  });
});

describe('the next page of rFMS', () => {
  const page: RfmsPage = {
    ...{ machines: [], refused: [], next: null, serverAt: null, hasMore: true },
    ...{ lastVin: '0ZZ00000000000901', lastReceivedAt: Date.parse('2026-04-02T15:10:03Z') },
  };
  const asked = 'https://telematics.invalid/rfms/vehiclestatuses';

  it.each([
    ['its link', '', { next: '/rfms/more' }, '/rfms/more'],
    [
      'one second after the last status',
      '?starttime=2026-04-02T00:00:00Z',
      {},
      `${asked}?starttime=2026-04-02T15%3A10%3A04.000Z`,
    ],
    ['the last VIN', '?latestOnly=true', {}, `${asked}?latestOnly=true&lastVin=0ZZ00000000000901`],
    ['none without a last status', '', { lastReceivedAt: null }, null],
    ['none without a last VIN', '?latestOnly=true', { lastVin: null }, null],
    ['none when all is there', '', { hasMore: false }, null],
  ])('is %s', (_, query, more, expected) => {
    expect(nextRfmsPage(new URL(asked + query), { ...page, ...more })).toBe(expected);
  });
});

// What each lamp asks for is common practice: red of the temperature is an overheating, yellow is
// not.
it.each([
  ['ENGINE_COOLANT_TEMPERATURE', 'RED', 'overheated'],
  ['ENGINE_COOLANT_TEMPERATURE', 'YELLOW', 'ran-hot'],
  ['ENGINE_COOLANT_LEVEL', 'RED', 'level-low'],
  ['ENGINE_COOLANT_LEVEL', 'YELLOW', 'level-falling'],
  ['BATTERY_CHARGING_CONDITION', 'RED', 'not-charging'],
  ['BATTERY_CHARGING_CONDITION', 'YELLOW', 'not-charging'],
])('the lamp %s in %s means %s', (lamp, state, meaning) => {
  const [active, ...others] = sayingsOf(lamp, state).filter(({ isActive }) => isActive);
  expect(others).toEqual([]);
  expect(active && meaningOf(active.code)).toBe(meaning);
});

it.each([
  ['ENGINE_COOLANT_LEVEL', 'NOT_AVAILABLE'],
  ['ENGINE_COOLANT_LEVEL', ''],
  ['FUEL_LEVEL', 'RED'],
  ['toString', 'RED'],
])('the lamp %s in %s says nothing', (lamp, state) => {
  expect(sayingsOf(lamp, state)).toEqual([]);
});
