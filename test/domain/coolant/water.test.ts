import { calculateDilution as dilution } from '../../../src/domain/filling/dilution.js';
import { evaluateTopUp as topUpJudged } from '../../../src/domain/filling/top-up.js';
import { coolantForJob, type SheetCoolant } from '../../../src/domain/job-card/to-bring/coolant-for-job.js';
import { workOf } from '../../../src/domain/job-card/work/card-work.js';
import { evaluateFreezePoint as freezePointJudged } from '../../../src/domain/strength/freeze-point.js';
import { english, inEnglish } from '../../support/english.js';

const calculateDilution = (...given: Parameters<typeof dilution>) => inEnglish(dilution(...given));
const evaluateTopUp = (...given: Parameters<typeof topUpJudged>) => inEnglish(topUpJudged(...given));
const evaluateFreezePoint = (...given: Parameters<typeof freezePointJudged>) =>
  inEnglish(freezePointJudged(...given));

const PURE = /demineralised or distilled water/;

// From memory of the water limits in ASTM D3306 and D6210; which water meets them everywhere is
// common practice.
describe('the water to mix with', () => {
  it('is demineralised or distilled wherever water is to be poured', () => {
    const sheet: SheetCoolant = {
      base: 'ethylene-glycol',
      technology: 'OAT',
      capacityL: 14,
      drainableL: 9.5,
      targetStrengthPercent: 50,
    };
    const flush = workOf([{ component: 'coolant', action: 'flush', item: null }]);
    const note = coolantForJob(sheet, flush, null).coolant.bring?.note;
    expect(note && english(note)).toMatch(PURE);
    const weaker = {
      capacityL: 14,
      strengthPercent: 60,
      refillStrengthPercent: 0,
      targetStrengthPercent: 50,
    };
    expect(calculateDilution(weaker).reasons[0]).toMatch(/replace it with demineralised or distilled water:/);
    const strong = { kind: 'freeze-point', method: 'refractometer', value: -55, unit: 'C' } as const;
    expect(evaluateFreezePoint(strong).reasons.join()).toMatch(PURE);
  });

  it('is noted where it came from the tap', () => {
    const topUp = { kind: 'top-up', addedL: 1, strengthPercent: 0, unit: 'L' } as const;
    const tap = evaluateTopUp({ ...topUp, tapWater: true });
    expect(tap.computed.tapWater).toBe(true);
    expect(tap.reasons.join()).toMatch(/Tap water went in, which is for an emergency only/);
    expect(evaluateTopUp(topUp).computed.tapWater).toBe(false);
  });
});
