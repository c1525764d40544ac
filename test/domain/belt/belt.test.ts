import fc from 'fast-check';
import {
  calculateBelt as calculate,
  evaluateBeltCheck as judge,
  type BeltCheckReading,
} from '../../../src/domain/belt/belt-check.js';
import { parseBeltDesignation as parse } from '../../../src/domain/belt/designation.js';
import { alignmentDegrees, drivenRpm, slipPercent } from '../../../src/domain/belt/geometry.js';
import { judgingInEnglish, refusingInEnglish } from '../../support/refusals-in-english.js';

const calculateBelt = judgingInEnglish(calculate);
const evaluateBeltCheck = judgingInEnglish(judge);
const parseBeltDesignation = refusingInEnglish(parse);

describe('belt designation', () => {
  // Ribs + profile + effective length in mm, pitch 3.56 mm: glossary on ISO 9981 and ISO 9982.
  it.each([
    ['6PK1880', 6, 1880, 21.36],
    [' 8 pk 2415 ', 8, 2415, 28.48],
    ['4PK0815', 4, 815, 14.24],
  ])('%s has %d ribs, %d mm, and is %d mm wide', (text, ribs, effectiveLengthMm, widthMm) => {
    expect(parseBeltDesignation(text)).toMatchObject({
      profile: 'PK',
      ribs,
      effectiveLengthMm,
      widthMm: expect.closeTo(widthMm, 9),
    });
  });

  it.each(['AVX13x1025', 'B58', '6EPK1880', 'K060740', 'cogged, from the dealer'])(
    'keeps %s as text',
    (text) => {
      expect(parseBeltDesignation(text)).toEqual({
        text,
        profile: null,
        ribs: null,
        effectiveLengthMm: null,
        widthMm: null,
      });
    },
  );

  it.each(['0PK1880', '60PK1880', '6PK18', '6PK18800'])('refuses %s, which no PK belt is', (text) => {
    expect(() => parseBeltDesignation(text)).toThrow(/such as 6PK1880/);
  });
});

describe('belt geometry', () => {
  // SAE J1596, by a public summary: 0.58 mm in 100 mm = 0.33°.
  it('knows the alignment limit', () => {
    expect(alignmentDegrees(0.58, 100)).toBeCloseTo(0.33, 2);
    expect(alignmentDegrees(-0.58, 100)).toBe(alignmentDegrees(0.58, 100));
    expect(() => alignmentDegrees(0.5, 0)).toThrow(/span/);
  });

  // A Textbook of Engineering Mechanics, example 33.3: 120 rpm, 2 m to 1 m, belt 5 mm, slip 3 %;
  // value computed.
  it('gives the driven speed at a slip, and the slip back from it', () => {
    const drive = { driverDiameterMm: 2000, drivenDiameterMm: 1000, beltThicknessMm: 5 };
    expect(drivenRpm(drive, 120, 3)).toBeCloseTo(232.2209, 4);
    expect(slipPercent(drive, 120, drivenRpm(drive, 120, 3))).toBeCloseTo(3, 9);
    fc.assert(
      fc.property(fc.double({ min: 0, max: 100, noNaN: true }), (slip) => {
        expect(slipPercent(drive, 800, drivenRpm(drive, 800, slip))).toBeCloseTo(slip, 6);
      }),
    );
    expect(() => slipPercent(drive, 0, 100)).toThrow(/driverRpm/);
    expect(() => drivenRpm(drive, 100, 101)).toThrow(/slip/);
  });
});

describe('belt check', () => {
  const good: BeltCheckReading = {
    kind: 'belt-check',
    item: 'accessory',
    ribsSeated: true,
    offsetMm: 0.5,
    spanMm: 220,
    wearGauge: 'ok',
  };

  it('passes a belt that is seated, in line and not worn', () => {
    const result = evaluateBeltCheck(good, '6PK1880');
    expect(result.verdict).toBe('pass');
    expect(result.computed).toMatchObject({
      ribs: 6,
      effectiveLength: { measure: 'size', value: 1880 },
      width: { measure: 'size', value: expect.closeTo(21.36, 9) },
      slipPercent: null,
    });
    // atan(0.5/220) by hand.
    expect(result.computed.alignmentDegrees).toBeCloseTo(0.13022, 5);
  });

  it.each([
    [{ ribsSeated: false }, /Ribs not seated/],
    [
      {
        ribsSeated: true,
        pulleys: [
          { name: 'crank', ribsSeated: true },
          { name: 'pump', ribsSeated: false },
        ],
      },
      /not seated on pump/,
    ],
    [{ offsetMm: 1.3 }, /Out of line by 0.339°/],
    [{ wearGauge: 'worn' as const }, /The wear gauge shows that it is worn/],
    [{ tensionerInRange: false }, /tensioner/],
    [{ contaminated: true }, /Oil or coolant/],
  ])('fails with %j', (change, reason) => {
    const result = evaluateBeltCheck({ ...good, ...change });
    expect(result.verdict).toBe('fail');
    expect(result.reasons[0]).toMatch(reason);
  });

  it('takes 0.58 mm in 100 mm, the limit itself, as in line', () => {
    expect(evaluateBeltCheck({ ...good, offsetMm: 0.58, spanMm: 100 }).verdict).toBe('pass');
    expect(evaluateBeltCheck({ ...good, offsetMm: 0.59, spanMm: 100 }).verdict).toBe('fail');
  });

  it('says what was not checked, and cannot tell when nothing was', () => {
    expect(evaluateBeltCheck({ kind: 'belt-check', ribsSeated: true }).reasons.join()).toMatch(
      /Not checked: alignment and wear/,
    );
    expect(evaluateBeltCheck({ kind: 'belt-check' }).verdict).toBe('inconclusive');
  });

  it('doubts a driven pulley that is faster than its belt', () => {
    const swapped = { driverDiameterMm: 150, drivenDiameterMm: 100, driverRpm: 1500, drivenRpm: 2600 };
    expect(evaluateBeltCheck({ ...good, ...swapped }).verdict).toBe('inconclusive');
  });
});

describe('belt calculator', () => {
  it('works out what its numbers allow', () => {
    const { verdict, computed } = calculateBelt({
      designation: '6PK1880',
      offsetMm: 1.3,
      spanMm: 220,
      driverDiameterMm: 150,
      drivenDiameterMm: 100,
      driverRpm: 1000,
      drivenRpm: 1455,
    });
    expect(verdict).toBe('fail');
    expect(computed.slipPercent).toBeCloseTo(3, 9);
    expect(calculateBelt({ designation: '6PK1880' }).verdict).toBeNull();
    expect(calculateBelt({ offsetMm: 0.5, spanMm: 220 })).toMatchObject({
      verdict: 'pass',
      computed: { ribs: null, width: null },
    });
    expect(calculateBelt({ designation: 'B58' }).reasons[0]).toMatch(/kept as text/);
  });
});
