import { evaluateTensionerCheck, type TensionerCheckReading } from '../../belt/tensioner-check.js';
import { type KindOfReading, onFailure } from '../contract/kind-of-reading.js';
import { beltNamed } from './belt-check.js';

export const tensionerCheck: KindOfReading<TensionerCheckReading, 'tensioner-worn'> = {
  sheetValues: [],

  evaluate: (reading, { belts = [] }) =>
    evaluateTensionerCheck(reading, beltNamed(reading, belts)?.tensionerArmSwingMaxMm ?? null),

  findings: onFailure('tensioner-worn'),
};
