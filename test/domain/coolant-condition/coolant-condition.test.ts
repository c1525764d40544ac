import {
  type CoolantConditionReading,
  type CoolantConditionSurroundings,
  evaluateCoolantCondition as condition,
} from '../../../src/domain/coolant-condition/coolant-condition.js';
import { convert } from '../../../src/domain/quantities/units.js';
import type { FreezePointReading } from '../../../src/domain/strength/freeze-point.js';
import { evaluateReadingOfJob as readingOfJob } from '../../../src/domain/readings/evaluate-reading.js';
import { english, inEnglish } from '../../support/english.js';
import { refusalOf, refusalText } from '../../support/refusal.js';

const evaluateCoolantCondition = (...given: Parameters<typeof condition>) => inEnglish(condition(...given));
const evaluateReadingOfJob = (...given: Parameters<typeof readingOfJob>) => inEnglish(readingOfJob(...given));

const judge = (values: Omit<CoolantConditionReading, 'kind'>, around: CoolantConditionSurroundings = {}) =>
  evaluateCoolantCondition({ kind: 'coolant-condition', ...values }, around);

describe('nitrite', () => {
  // NOAT in service at least 300 mg/L, conventional coolant around wet liners at least 800 mg/L:
  // from memory of
  // heavy-duty practice.
  it.each([
    ['NOAT', {}, 300, 'pass'],
    ['NOAT', {}, 299, 'fail'],
    ['NOAT', { heavyDuty: false }, 120, 'fail'],
    ['IAT', { wetLiners: true }, 800, 'pass'],
    ['IAT', { wetLiners: true }, 799, 'fail'],
    ['IAT', { heavyDuty: true }, 500, 'fail'],
    ['IAT', {}, 500, 'inconclusive'],
    ['IAT', {}, 900, 'pass'],
    ['IAT', { wetLiners: false }, 100, null],
    ['IAT', { heavyDuty: false }, 100, null],
    ['OAT', {}, 0, null],
    ['HOAT', { heavyDuty: true }, 0, null],
    ['OAT', { limits: { nitriteMinMgPerL: 500 } }, 499, 'fail'],
    ['OAT', { limits: { nitriteMinMgPerL: 500 } }, 500, 'pass'],
    ['NOAT', { limits: { nitriteMinMgPerL: 100 } }, 120, 'pass'],
    ['NOAT', { limits: { nitriteMaxMgPerL: 900 } }, 1000, 'fail'],
    [null, { limits: { nitriteMinMgPerL: 500 } }, 499, 'fail'],
  ] as const)('of %s with %j at %d mg/L is %s', (technology, around, nitriteMgPerL, verdict) => {
    expect(judge({ nitriteMgPerL }, { technology, ...around }).verdict).toBe(verdict);
  });

  it('that is low names cavitation, and what to do', () => {
    const { reasons, computed, basis } = judge({ nitriteMgPerL: 120 }, { technology: 'NOAT' });
    expect(reasons.join(' ')).toMatch(
      /Nitrite 120 mg\/L, at least 300 needed.*: cavitation can eat through wet liners.*extender/,
    );
    expect(computed.findings).toEqual(['nitrite-low']);
    expect(basis.join()).toMatch(/from memory/);
  });

  // ASTM D6210, for new coolant: nitrite with molybdate at least 780, each at least 300 (from
  // memory).
  it.each([
    [480, 300, 'pass'],
    [479, 300, 'fail'],
    [600, 299, 'fail'],
    [299, 600, 'fail'],
  ])('of %d mg/L with molybdate of %d is %s around wet liners', (nitriteMgPerL, molybdateMgPerL, verdict) => {
    const around = { technology: 'IAT', wetLiners: true } as const;
    expect(judge({ nitriteMgPerL, molybdateMgPerL }, around).verdict).toBe(verdict);
  });

  it("is judged by the sheet's limit alone where there is one, whatever the molybdate", () => {
    const limits = { nitriteMinMgPerL: 800 };
    const around = { technology: 'IAT', wetLiners: true, limits } as const;
    expect(judge({ nitriteMgPerL: 500, molybdateMgPerL: 500 }, around).verdict).toBe('fail');
  });
});

describe('molybdate', () => {
  it("is judged by the sheet's limits and told without them", () => {
    const limits = { molybdateMinMgPerL: 300, molybdateMaxMgPerL: 900 };
    expect(judge({ molybdateMgPerL: 299 }, { limits }).computed.findings).toEqual(['molybdate-low']);
    expect(judge({ molybdateMgPerL: 901 }, { limits }).computed.findings).toEqual(['molybdate-high']);
    expect(judge({ molybdateMgPerL: 299 })).toMatchObject({
      verdict: null,
      computed: { molybdateMgPerL: 299 },
    });
  });
});

describe('pH', () => {
  it.each(['IAT', 'OAT', 'NOAT', null] as const)(
    'below 7 fails in %s coolant, whatever its limits',
    (technology) => {
      const limits = { pHMin: 6, pHMax: 9 };
      expect(judge({ pH: 6.9 }, { technology }).computed.findings).toEqual(['ph-acid']);
      expect(judge({ pH: 6.9 }, { technology, heavyDuty: false }).verdict).toBe('fail');
      expect(judge({ pH: 6.9 }, { technology, limits }).verdict).toBe('fail');
      expect(judge({ pH: 7 }, { technology, limits }).verdict).toBe('pass');
    },
  );
});

describe('a test strip', () => {
  const strip = { kind: 'sca', expiresOn: '2026-03-31' } as const;
  const around = { technology: 'IAT', heavyDuty: true } as const;

  it('counts up to the day on which it expires, and decides nothing after it', () => {
    const low = { scaUnitsPerGallon: 0.5, strip };
    expect(judge(low, { ...around, takenOn: '2026-03-31' }).verdict).toBe('fail');
    const late = judge(low, { ...around, takenOn: '2026-04-01' });
    expect(late).toMatchObject({ verdict: 'inconclusive', computed: { findings: ['strip-expired'] } });
    expect(late.reasons[0]).toMatch(/expired on 2026-03-31.*fresh/);
    expect(judge({ scaUnitsPerGallon: 2, strip }, { ...around, takenOn: '2026-04-01' }).verdict).toBe(
      'inconclusive',
    );
  });

  it('that expired does not hide oil', () => {
    const oily = { scaUnitsPerGallon: 2, strip, appearance: 'oily' } as const;
    expect(judge(oily, { ...around, takenOn: '2026-04-01' }).verdict).toBe('fail');
  });

  it('made for another coolant decides nothing but pH', () => {
    const found = judge({ pH: 6.5, nitriteMgPerL: 900, strip }, { technology: 'OAT' });
    expect(found.computed.findings).toEqual(['wrong-strip', 'ph-acid']);
    const organic = { kind: 'organic-acid' } as const;
    expect(judge({ nitriteMgPerL: 100, strip: organic }, around).verdict).toBe('inconclusive');
  });
});

describe('a freeze point by a test strip', () => {
  const reading: FreezePointReading = {
    kind: 'freeze-point',
    base: 'ethylene-glycol',
    scale: 'ethylene-glycol',
    method: 'test-strip',
    value: -40,
    unit: 'C',
    strip: { kind: 'freeze-point', expiresOn: '2026-03-31' },
  };
  const context = { coolant: { base: 'ethylene-glycol' }, designLowTemperatureC: -20 } as const;

  it('counts up to the day on which it expires, and decides nothing after it', () => {
    expect(evaluateReadingOfJob([reading], 0, { ...context, takenOn: '2026-03-31' }).verdict).toBe('pass');
    const late = evaluateReadingOfJob([reading], 0, { ...context, takenOn: '2026-04-01' });
    expect(late).toMatchObject({ verdict: 'inconclusive', computed: { findings: ['strip-expired'] } });
  });

  it('is refused a strip beside another instrument', () => {
    const refused = refusalOf(() =>
      evaluateReadingOfJob([{ ...reading, method: 'refractometer' }], 0, context),
    );
    expect(refused.field).toBe('strip');
    expect(english(refused.detail)).toMatch(/A strip is given, but the method is refractometer/);
  });
});

describe('a laboratory report', () => {
  it("is judged by the rules where they know the value, else by the report's own limits", () => {
    const values = [
      { name: 'Nitrite', value: 120, unit: 'ppm' },
      { name: 'pH', value: 8.6 },
      { name: 'Chloride', value: 310, unit: 'mg/L', max: 200 },
      { name: 'Iron', value: 12, unit: 'mg/L' },
    ];
    const found = judge({ laboratory: { reportNumber: 'A-17', values } }, { technology: 'NOAT' });
    expect(found).toMatchObject({
      verdict: 'fail',
      computed: { findings: ['nitrite-low', 'laboratory-limit'], nitriteMgPerL: 120, pH: 8.6 },
    });
    expect(found.reasons.join()).toMatch(/Chloride 310 mg\/L, at most 200 allowed/);
    expect(found.reasons.join()).toMatch(/Iron 12 mg\/L\. The report gives no limit/);
    expect(found.basis.join()).toMatch(/report A-17/);
  });

  it('passes where all its values lie within their limits', () => {
    const values = [{ name: 'Chloride', value: 20, unit: 'mg/L', max: 200 }];
    expect(judge({ laboratory: { values } }).verdict).toBe('pass');
  });

  it('is refused beside a strip, with one value twice, and with limits the wrong way round', () => {
    const values = [{ name: 'Nitrite', value: 120 }];
    expect(refusalText(() => judge({ strip: { kind: 'sca' }, laboratory: {} }))).toMatch(/two readings/);
    expect(refusalText(() => judge({ nitriteMgPerL: 300, laboratory: { values } }))).toMatch(/Give it once/);
    expect(
      refusalText(() => judge({ laboratory: { values: [{ name: 'Iron', value: 1, min: 5, max: 2 }] } })),
    ).toMatch(/Iron: min 5 is above max 2/);
  });
});

describe('the dose', () => {
  it('to add is told with the finding, in the unit on the bottle', () => {
    const additive = {
      product: 'liquid SCA',
      amount: { value: 1, unit: 'pt' },
      treatsL: convert(1, 'gal', 'L'),
      raisesScaUnitsPerGallon: 10,
    } as const;
    const around = { technology: 'IAT', additive, capacityL: convert(10, 'gal', 'L') } as const;
    const { reasons, computed } = judge({ scaUnitsPerGallon: 0.5 }, around);
    expect(reasons.join(' ')).toMatch(
      /SCA 0.5 units per US gallon, at least 1.5 needed.*Add 2 pt of liquid SCA/,
    );
    expect(computed).toMatchObject({ doseAmount: 1.75, doseUnit: 'pt', dose: { measure: 'volume' } });
    expect(judge({ scaUnitsPerGallon: 2 }, around).computed.dose).toBeNull();
  });
});
