import { TORQUE_SOURCES, type TorqueSource } from '../../../../domain/fastening/torque-set.js';
import { type Unit, unitsOf } from '../../../../domain/quantities/units.js';
import { Amount, Amounts, Choice, Text } from '../../../../platform/fields/fields.js';
import { Kind } from '../posted-kind.js';

export class TorqueSetInput {
  @Kind('torque-set') kind!: 'torque-set';
  @Text({ max: 80, description: 'The fastener group by its name on the spec sheet' }) fastener!: string;
  @Choice(unitsOf('torque')) unit!: Unit;
  @Amounts({
    optional: true,
    min: 0,
    max: 50_000,
    maxItems: 100,
    description: 'One torque for each fastener',
  })
  values?: number[] | null;
  @Amount({
    optional: true,
    min: 0,
    max: 50_000,
    description: 'In place of values: what the wrench was set to, for `count` fasteners',
  })
  setTo?: number | null;
  @Amount({ optional: true, min: 1, max: 100, integer: true }) count?: number | null;
  @Choice(TORQUE_SOURCES, { optional: true }) source?: TorqueSource | null;
  @Amount({ optional: true, min: 0, max: 100 }) toolUncertaintyPercent?: number | null;
}
