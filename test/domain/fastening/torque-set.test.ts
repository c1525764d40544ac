import fc from 'fast-check';
import { calculateTorqueSet as calculate } from '../../../src/domain/fastening/calculate-torque-set.js';
import {
  evaluateTorqueSet as judge,
  type TorqueSetReading,
} from '../../../src/domain/fastening/torque-set.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { convert, type Unit } from '../../../src/domain/quantities/units.js';
import { englishIn } from '../../support/english.js';
import { judgingInEnglish } from '../../support/refusals-in-english.js';

const calculateTorqueSet = judgingInEnglish(calculate);
const evaluateTorqueSet = judgingInEnglish(judge);

const inLbf = (value: number) => convert(value, 'in.lbf', 'N.m');
const pump = { name: 'pump-to-cover', count: 9, torqueNm: 11, tolerancePercent: 10 };

function set(valuesNm: number[], more: Partial<TorqueSetReading> = {}): TorqueSetReading {
  return { kind: 'torque-set', fastener: 'pump-to-cover', unit: 'N.m', valuesNm, source: 'setting', ...more };
}

const nine = [11, 11.2, 10.8, 11, 11, 11.1, 10.9, 11, 11];
const nineOf = (value: number) => Array.from({ length: 9 }, () => value);

describe('torque set', () => {
  it('passes a full set within its tolerance', () => {
    const result = evaluateTorqueSet(set(nine), pump);
    expect(result.verdict).toBe('pass');
    expect(result.computed).toMatchObject({ outside: [], missing: 0 });
    expect(result.computed.torques).toHaveLength(9);
    expect(result.reasons[0]).toBe('9 fasteners within 9.9 N·m to 12.1 N·m.');
  });

  it('names the position of each value outside, counted from 1', () => {
    const result = evaluateTorqueSet(set(nine.with(2, 12.2).with(8, 9.8)), pump);
    expect(result.verdict).toBe('fail');
    expect(result.computed).toMatchObject({ outside: [3, 9], overTightened: [3] });
    expect(result.reasons).toEqual([
      "Fastener 3 is over-tightened: 12.2 N·m, at most 12.1 N·m. Before the vehicle leaves, loosen it, inspect it and its thread or fit a new one, and tighten it again to 11 N·m in the maker's sequence.",
      "Fastener 9 is under-tightened: 9.8 N·m, at least 9.9 N·m. Before the vehicle leaves, tighten it to 11 N·m in the maker's sequence.",
    ]);
  });

  // Common practice, no source: a bolt turned too far has stretched, and backing it off to its
  // torque hides that.
  it('never has an over-tightened fastener set back, whether it is or may be', () => {
    const three = evaluateTorqueSet(set(nine.with(0, 13).with(4, 15).with(5, 14)), pump);
    expect(three.reasons[0]).toMatch(/^Fasteners 1, 5 and 6 are over-tightened: 13 N·m to 15 N·m, at most/);
    const doubtful = evaluateTorqueSet(set(nine.with(2, 12.3), { source: 'measured' }), pump);
    expect(doubtful.verdict).toBe('inconclusive');
    expect(doubtful.reasons[0]).toMatch(
      /^Fastener 3 may be over-tightened: 12.3 N·m ±4 %, at most 12.1 N·m\. Measure again with a better tool\. If it is over, loosen it, inspect it/,
    );
    const all = evaluateTorqueSet(set(nineOf(20)), pump);
    expect(all.reasons[0]).toMatch(/^All 9 fasteners are over-tightened: 20 N·m, .* loosen them/);
    for (const { reasons } of [three, doubtful, all]) expect(reasons.join()).not.toMatch(/middle|set it/);
  });

  it('tells torques that read alike as one, in every unit that a reader may see', () => {
    const alike = evaluateTorqueSet(set(nine.with(2, 67.79).with(4, 67.8), { unit: 'ft.lbf' }), pump);
    expect(alike.reasons[0]).toMatch(/^Fasteners 3 and 5 are over-tightened: 50 lbf·ft, at most/);
    const { reasons } = judge(set(nine.with(2, 67.79).with(4, 67.8)), pump);
    expect(englishIn('us', reasons[0]!)).toMatch(/^Fasteners 3 and 5 are over-tightened: 50 lbf·ft, at most/);
    const apart = evaluateTorqueSet(set(nine.with(2, 67).with(4, 67.8), { unit: 'ft.lbf' }), pump);
    expect(apart.reasons[0]).toMatch(/over-tightened: 49\.4 lbf·ft to 50 lbf·ft, at most/);
  });

  it('has a bolt that is turned by angle renewed, for it has stretched', () => {
    const result = evaluateTorqueSet(set(nine.with(2, 15)), { ...pump, angle: '90° more' });
    expect(result.reasons[0]).toMatch(
      /loosen it, fit a new one, and tighten it again to 11 N·m in the maker's sequence\. A bolt turned by angle stretches\.$/,
    );
  });

  it('takes the limits themselves as inside', () => {
    expect(evaluateTorqueSet(set(nine.with(0, 9.9).with(1, 12.1)), pump).verdict).toBe('pass');
  });

  // Common practice, no source: pump bolts to 89 lbf·in (10.06 N·m), a twelve-bolt pump.
  it('fails eleven values on a twelve-bolt pump as one missing', () => {
    expect(inLbf(89)).toBeCloseTo(10.06, 2);
    const twelve = { name: 'pump', count: 12, torqueNm: inLbf(89) };
    const eleven = Array.from({ length: 11 }, () => inLbf(89));
    const result = evaluateTorqueSet(set(eleven, { fastener: 'pump', unit: 'in.lbf' }), twelve);
    expect(result.verdict).toBe('fail');
    expect(result.computed).toMatchObject({ missing: 1, outside: [] });
    expect(result.reasons[0]).toMatch(/torque of 1 of 12 fasteners is missing/);
    expect(result.basis.join()).toMatch(/89 lbf·in ±10 % \(common practice\)/);
    expect(() => evaluateTorqueSet(set([...eleven, ...eleven], { fastener: 'pump' }), twelve)).toThrow(
      /22 torques for pump, which has 12/,
    );
  });

  // Common practice, no source: pulley bolts to 18 lbf·ft (24.40 N·m).
  it("takes the wrench's setting with a count", () => {
    const pulley = { name: 'pulley', count: 4, torqueNm: convert(18, 'ft.lbf', 'N.m') };
    expect(pulley.torqueNm).toBeCloseTo(24.4, 2);
    const reading: TorqueSetReading = {
      kind: 'torque-set',
      fastener: 'pulley',
      unit: 'ft.lbf',
      setToNm: pulley.torqueNm,
      count: 4,
    };
    expect(evaluateTorqueSet(reading, pulley).verdict).toBe('pass');
    expect(evaluateTorqueSet({ ...reading, count: 3 }, pulley).computed.missing).toBe(1);
    expect(() => evaluateTorqueSet({ ...reading, count: 5 }, pulley)).toThrow(
      /5 torques for pulley, which has 4/,
    );
    expect(() => evaluateTorqueSet({ ...reading, count: 2.5 }, pulley)).toThrow(/whole number/);
    expect(() => evaluateTorqueSet({ ...reading, count: null }, pulley)).toThrow(/setTo with the count/);
  });

  it("uses the sheet's least and most where it has them", () => {
    const limits = { name: 'pump-to-cover', count: 9, torqueNm: 11, minNm: 10.5, maxNm: 11.5 };
    expect(evaluateTorqueSet(set(nineOf(10.4)), limits).computed.outside).toHaveLength(9);
    expect(evaluateTorqueSet(set(nineOf(10.5)), limits).verdict).toBe('pass');
    expect(() => evaluateTorqueSet(set(nine), { ...limits, minNm: 12 })).toThrow(/above max/);
  });

  // ISO 6789: ±4 %, ±6 % for tools up to 10 N·m. 11 N·m ±10 %: 12.1; 12 + 4 % is above it, 12.7 − 4
  // % is above it too.
  it.each([
    [11.5, 'pass'],
    [12, 'inconclusive'],
    [12.5, 'inconclusive'],
    [12.7, 'fail'],
    [9.9, 'inconclusive'],
    [9.4, 'fail'],
  ])('gives a measured torque a guard band: %d N·m is %s', (value, verdict) => {
    expect(evaluateTorqueSet(set(nineOf(value), { source: 'measured' }), pump).verdict).toBe(verdict);
  });

  it('gives small tools ±6 % and any tool its own uncertainty', () => {
    const small = { name: 'small', count: 1, torqueNm: 8 };
    const measured = (value: number, toolUncertaintyPercent: number | null) =>
      evaluateTorqueSet(
        set([value], { fastener: 'small', source: 'measured', toolUncertaintyPercent }),
        small,
      ).verdict;
    expect(measured(8.4, null)).toBe('inconclusive');
    expect(measured(8.4, 4)).toBe('pass');
    expect(measured(8.7, 1)).toBe('pass');
  });

  // Factors of NIST SP 811: 12, 8.8507, 1.35582.
  it.each([
    [11 * 12, /about 12 times too high: probably lbf·in taken for lbf·ft/],
    [11 / 12, /about 12 times too low/],
    [11 * 8.8507, /about 8.85 times too high: probably lbf·in taken for N·m/],
    [inLbf(11), /about 8.85 times too low: probably N·m taken for lbf·in/],
    [convert(11, 'ft.lbf', 'N.m'), /about 1.356 times too high: probably N·m taken for lbf·ft/],
  ])('tells the likely unit slip when all are %d N·m', (value, words) => {
    const result = evaluateTorqueSet(set(nineOf(value)), pump);
    expect(result.verdict).toBe('fail');
    expect(result.reasons[0]).toMatch(words);
  });

  it('does not call one bad value a unit slip', () => {
    expect(evaluateTorqueSet(set(nine.with(0, 132)), pump).reasons.join()).not.toMatch(/times too/);
  });

  it('carries the angle that follows as text', () => {
    expect(evaluateTorqueSet(set(nine), { ...pump, angle: '90° more' }).reasons.join()).toMatch(
      /Then 90° more/,
    );
  });

  it('has no verdict without a torque to judge by', () => {
    const result = evaluateTorqueSet(set(nine), null);
    expect(result.verdict).toBeNull();
    expect(result.reasons[0]).toMatch(/No torque is known for pump-to-cover/);
    expect(evaluateTorqueSet(set(nine.slice(1)), { name: 'pump-to-cover', count: 9 }).verdict).toBe('fail');
  });

  it('refuses torques that are not above zero', () => {
    expect(() => evaluateTorqueSet(set(nine.with(3, 0)), pump)).toThrow(/values\[4\]/);
    expect(() => evaluateTorqueSet(set(nine.with(3, Number.NaN)), pump)).toThrow(ImpossibleValue);
  });

  it('judges alike in every unit', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5, max: 20, noNaN: true }),
        fc.constantFrom<Unit>('ft.lbf', 'in.lbf', 'kgf.m'),
        (value, unit) => {
          const there = convert(convert(value, 'N.m', unit), unit, 'N.m');
          expect(evaluateTorqueSet(set(nineOf(there), { unit }), pump).verdict).toBe(
            evaluateTorqueSet(set(nineOf(value)), pump).verdict,
          );
        },
      ),
    );
  });

  it('answers as a calculator, with or without a count', () => {
    const result = calculateTorqueSet({
      torqueNm: inLbf(89),
      count: 12,
      unit: 'in.lbf',
      valuesNm: Array(11).fill(inLbf(89)),
    });
    expect(result.verdict).toBe('fail');
    expect(result.computed.missing).toBe(1);
    expect(calculateTorqueSet({ torqueNm: 11, unit: 'N.m', valuesNm: [11, 13] }).computed).toMatchObject({
      outside: [2],
      missing: null,
    });
    expect(calculateTorqueSet({ torqueNm: 11, unit: 'N.m', setToNm: 11, count: 9 }).verdict).toBe('pass');
  });
});
