import { Flag } from '../../../../platform/fields/fields.js';
import { Kind } from '../posted-kind.js';

export class CombustionGasTestInput {
  @Kind('combustion-gas-test') kind!: 'combustion-gas-test';
  @Flag() positive!: boolean;
  @Flag({ optional: true }) engineHot?: boolean | null;
  @Flag({ optional: true }) underLoad?: boolean | null;
}
