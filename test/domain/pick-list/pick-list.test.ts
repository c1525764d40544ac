import fc from 'fast-check';
import type { WorkLine } from '../../../src/domain/intervals/types.js';
import type { CardSheet } from '../../../src/domain/job-card/job-card.js';
import { jobCardOfCircuits } from '../../../src/domain/job-card/job-card-of-circuits.js';
import { wholeContainers } from '../../../src/domain/pick-list/containers.js';
import { pickList } from '../../../src/domain/pick-list/pick-list.js';
import type { VisitToPick } from '../../../src/domain/pick-list/visit-to-pick.js';
import { type CircuitName, isElectric } from '../../../src/domain/vehicles/circuits.js';

const lines = (...words: string[]): WorkLine[] =>
  words.map((word) => {
    const [component, action, item = null] = word.split(':') as [string, string, string?];
    return { component, action, item } as WorkLine;
  });

/** 14 L, of which 9.5 L drain, at 50 %. */
const SHEET: CardSheet = {
  coolant: {
    ...{ base: 'ethylene-glycol', technology: 'OAT', capacityL: 14, drainableL: 9.5 },
    targetStrengthPercent: 50,
  },
  capRatingKpa: 110,
  holdTest: { procedureMethod: 'vacuum', targetKpa: 77.9, capRatingKpa: 110 },
  fasteners: [{ name: 'pump', count: 9, component: 'water-pump', torqueNm: 11, tolerancePercent: 10 }],
  belts: [{ name: 'accessory', designation: '6PK1880' }],
  parts: [
    { component: 'water-pump', description: 'pump with gasket', quantity: 1, partNumber: 'WP-9' },
    { component: 'thermostat', description: 'thermostat', quantity: 2, partNumber: 'T-82' },
    { component: 'upper-hose', description: 'hose', quantity: 1, partNumber: null },
  ],
};

const coolant = (over: Partial<CardSheet['coolant']>): CardSheet => ({
  ...SHEET,
  coolant: { ...SHEET.coolant, ...over },
});

let count = 0;
interface Asked {
  work: WorkLine[];
  sheet?: CardSheet | null;
  sheetId?: string | null;
  circuit?: CircuitName;
  others?: { circuit: CircuitName; sheet: CardSheet; work: WorkLine[] }[];
}

/** A visit of a vehicle of its own. */
function visit({
  work,
  sheet = SHEET,
  sheetId = 'sheet',
  circuit = 'engine',
  others = [],
}: Asked): VisitToPick {
  count += 1;
  const input = (of: CircuitName, some: WorkLine[], its: CardSheet | null) => ({
    ...{ lines: some, circuit: others.length === 0 ? null : of, isElectric: isElectric(of), sheet: its },
    ...{ elevationM: 0, strengthPercent: 50, losesCoolant: false, units: 'si' as const },
  });
  const card = jobCardOfCircuits([
    input(circuit, work, sheet),
    ...others.map((other) => input(other.circuit, other.work, other.sheet)),
  ]);
  const name = `V-${count}`;
  return {
    ...{ visitId: `visit of ${name}`, vehicleId: name, unitNumber: name, firstCircuit: circuit, card },
    ...{ sheetId: sheet === null ? null : sheetId, lines: work, belts: sheet?.belts ?? [] },
  };
}

const listed = (...visits: VisitToPick[]) => pickList(visits, 'si');
const poured = (...visits: VisitToPick[]) =>
  listed(...visits).coolant.map(({ kind, base, circuit, containers, volume, for: all }) => [
    ...[kind, base, circuit, containers, Number(volume.value.toFixed(3)), all.length],
  ]);
const DRAINED = lines('coolant:replace');

describe('whole containers', () => {
  // By hand.
  it.each([
    [0, 5, 0],
    [0.1, 5, 1],
    [5, 5, 1],
    [5.01, 5, 2],
    [14, 5, 3],
    // Three gallons, added up jug by jug: 11.356235352000002 L.
    [3.785411784 + 3.785411784 + 3.785411784, 3.785411784, 3],
  ])('hold %s L in containers of %s L: %s', (volumeL, containerL, containers) => {
    expect(wholeContainers(volumeL, containerL)).toBe(containers);
  });

  it('always hold what is needed, with less than one to spare', () => {
    const amount = fc.double({ min: 0.001, max: 1e4, noNaN: true });
    fc.assert(
      fc.property(amount, fc.double({ min: 0.1, max: 250, noNaN: true }), (volumeL, containerL) => {
        const held = wholeContainers(volumeL, containerL) * containerL;
        expect(held).toBeGreaterThanOrEqual(volumeL * (1 - 1e-6) - 1e-6 * containerL);
        expect(held).toBeLessThan(volumeL + containerL);
      }),
    );
  });
});

describe('the coolant of a pick list', () => {
  it('adds up the concentrate and the water of vehicles that take the same, in whole containers', () => {
    // 9.5 L drain at 50 %, and what stays is at 50 %: 4.75 L of each, and 9.5 L of both. Twice.
    expect(poured(visit({ work: DRAINED }), visit({ work: DRAINED }))).toEqual([
      ['concentrate', 'ethylene-glycol', null, 2, 9.5, 2],
      ['water', null, null, 2, 9.5, 2],
      ['ready-mixed', 'ethylene-glycol', 'engine', 4, 19, 2],
    ]);
  });

  it('marks what replaces concentrate and water, so that nobody takes both', () => {
    expect(listed(visit({ work: DRAINED })).coolant.map((line) => [line.kind, line.insteadOfMixing])).toEqual(
      [
        ['concentrate', false],
        ['water', false],
        ['ready-mixed', true],
      ],
    );
  });

  it.each([
    ['bases', coolant({ base: 'propylene-glycol' })],
    ['technologies', coolant({ technology: 'IAT' })],
    ['technologies, one not known', coolant({ technology: null })],
  ])('never puts two %s into one container', (_what, other) => {
    const { coolant: all } = listed(visit({ work: DRAINED }), visit({ work: DRAINED, sheet: other }));
    const concentrates = all.filter(({ kind }) => kind === 'concentrate');
    expect(concentrates.map(({ containers, for: of }) => [containers, of.length])).toEqual([
      [1, 1],
      [1, 1],
    ]);
    expect(all.filter(({ kind }) => kind === 'ready-mixed')).toHaveLength(2);
  });

  it('gives each vehicle whose technology nobody knows containers of its own', () => {
    const unknown = () => visit({ work: DRAINED, sheet: coolant({ technology: null }) });
    const { coolant: all, missing } = listed(unknown(), unknown());
    expect(all.filter(({ kind }) => kind === 'concentrate')).toHaveLength(2);
    expect(missing.map(({ message }) => message.code)).toEqual(['card-no-technology', 'card-no-technology']);
  });

  it('keeps what is ready mixed to one kind of circuit', () => {
    const others = [{ circuit: 'charge-air' as const, sheet: SHEET, work: DRAINED }];
    expect(poured(visit({ work: DRAINED, others }))).toEqual([
      ['concentrate', 'ethylene-glycol', null, 2, 9.5, 2],
      ['water', null, null, 2, 9.5, 2],
      ['ready-mixed', 'ethylene-glycol', 'engine', 2, 9.5, 1],
      ['ready-mixed', 'ethylene-glycol', 'charge-air', 2, 9.5, 1],
    ]);
  });

  it('gives circuits beside high voltage containers of their own, vehicle by vehicle, and no water', () => {
    const sheet = coolant({ technology: 'low-conductivity', capacityL: 6, drainableL: 6 });
    const battery = () => visit({ work: DRAINED, sheet, circuit: 'battery' });
    const { coolant: all } = listed(battery(), battery(), visit({ work: DRAINED, sheet }));
    const own = all.filter((line) => line.isElectric);
    // 6 L each: two cans of 5 L, twice, and not three for 12 L.
    expect(
      own.map(({ kind, circuit, containers, insteadOfMixing }) => [
        kind,
        circuit,
        containers,
        insteadOfMixing,
      ]),
    ).toEqual([
      ['ready-mixed', 'battery', 2, false],
      ['ready-mixed', 'battery', 2, false],
    ]);
    expect(own[0]?.cautions.map(({ code }) => code)).toEqual(
      expect.arrayContaining(['pick-own-containers', 'caution-high-voltage', 'caution-maker']),
    );
    expect(all.find(({ kind }) => kind === 'water')?.for).toHaveLength(1);
  });

  it('takes one container for topping up, because the amount is seen at the vehicle', () => {
    const list = listed(visit({ work: lines('coolant:recheck') }));
    expect(list.coolant).toMatchObject([
      { kind: 'ready-mixed', strengthPercent: 50, containers: 1, for: [{ volume: null }] },
    ]);
    // The drained vehicle's containers are not one more because of it.
    const both = listed(visit({ work: DRAINED }), visit({ work: lines('coolant:recheck') }));
    expect(
      both.coolant
        .filter(({ kind }) => kind === 'ready-mixed')
        .map((line) => [line.insteadOfMixing, line.containers]),
    ).toEqual([
      [true, 2],
      [false, 1],
    ]);
  });

  it('says that the sizes are common practice', () => {
    expect(listed(visit({ work: DRAINED })).basis.map(({ code }) => code)).toEqual([
      'basis-pick-containers-si',
    ]);
    expect(pickList([visit({ work: DRAINED })], 'us').container.value).toBeCloseTo(3.785, 3);
  });
});

describe('the parts of a pick list', () => {
  it('are added up by number, whatever the blanks and capitals', () => {
    const other = {
      ...SHEET,
      parts: [{ ...SHEET.parts[1]!, description: 'thermostat 82 °C', partNumber: 't - 82' }],
    };
    const { parts } = listed(
      visit({ work: lines('thermostat:replace') }),
      visit({ work: lines('thermostat:replace'), sheet: other, sheetId: 'other' }),
    );
    expect(parts).toMatchObject([
      {
        ...{ partNumber: 'T-82', quantity: 4, descriptions: ['thermostat', 'thermostat 82 °C'] },
        for: [{ quantity: 2 }, { quantity: 2 }],
      },
    ]);
  });

  it('without a number are added up within a spec sheet alone', () => {
    const hose = lines('upper-hose:replace');
    const { parts } = listed(
      visit({ work: hose }),
      visit({ work: hose }),
      visit({ work: hose, sheetId: 'other' }),
    );
    expect(parts.map(({ partNumber, quantity }) => [partNumber, quantity]).sort()).toEqual([
      [null, 1],
      [null, 2],
    ]);
  });

  it('include a belt by its designation where the sheet lists no part for it', () => {
    expect(listed(visit({ work: lines('drive-belt:replace') })).parts).toMatchObject([
      { partNumber: '6PK1880', component: 'drive-belt', quantity: 1 },
    ]);
    expect(listed(visit({ work: lines('drive-belt:inspect') })).parts).toEqual([]);
  });
});

describe('a pick list', () => {
  it('lists the tools of the cards, with the range of the torques', () => {
    const { tools } = listed(visit({ work: lines('water-pump:replace', 'coolant:replace') }));
    expect(tools.map(({ tool }) => tool)).toEqual([
      'catch-pan',
      'refractometer',
      'vacuum-filler',
      'torque-wrench',
    ]);
    // 11 N·m ± 10 %.
    const { torque } = tools.find(({ tool }) => tool === 'torque-wrench')!;
    expect([torque?.least.value, torque?.most.value]).toEqual([
      expect.closeTo(9.9, 9),
      expect.closeTo(12.1, 9),
    ]);
    expect(tools.find(({ tool }) => tool === 'vacuum-filler')?.cautions.map(({ code }) => code)).toContain(
      'caution-maker',
    );
  });

  it('never leaves out a vehicle without a spec sheet', () => {
    const bare = visit({ work: DRAINED, sheet: null });
    const { missing, coolant: all } = listed(visit({ work: DRAINED }), bare);
    expect(missing.map(({ unitNumber, message }) => [unitNumber, message.code])).toEqual([
      [bare.unitNumber, 'card-no-spec-sheet'],
      [bare.unitNumber, 'pick-coolant-not-known'],
    ]);
    expect(all.flatMap((line) => line.for.map(({ unitNumber }) => unitNumber))).not.toContain(
      bare.unitNumber,
    );
  });

  it('reads high voltage first among its cautions, and always defers to the maker', () => {
    const { cautions } = listed(visit({ work: DRAINED }), visit({ work: DRAINED, circuit: 'battery' }));
    expect(cautions[0]?.code).toBe('caution-high-voltage');
    expect(listed().cautions.map(({ code }) => code)).toEqual(['caution-maker']);
  });
});
