import type { Quantity } from '../../../domain/quantities/units.js';
import { Amount, Flag, Instant, NestedList, QuantityOf, Text } from '../../../platform/fields/fields.js';

/** These classes are for the API document only. `readPushedJson` reads the body. */
export class MachineReadingInput {
  @Instant({ description: 'When the machine read it' }) at!: string;
  @QuantityOf('distance', { optional: true }) odometer?: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours?: Quantity | null;
  @QuantityOf('temperature', { optional: true }) coolantTemperature?: Quantity | null;
}

export class MachineFaultInput {
  @Instant({ description: 'When the machine reported it' }) at!: string;
  @Text({ max: 60, example: 'SPN 110 FMI 0' }) code!: string;
  @Flag({ optional: true, description: 'True unless given' }) isActive?: boolean | null;
  @Amount({ optional: true, min: 1, max: 126, integer: true }) occurrences?: number | null;
}

export class MachineReportInput {
  @Text({ optional: true, max: 100, description: 'At least one of vin, serialNumber and equipmentId' })
  vin?: string | null;
  @Text({ optional: true, max: 100 }) serialNumber?: string | null;
  @Text({ optional: true, max: 100, description: 'What the source calls it' }) equipmentId?: string | null;
  @Text({ optional: true, max: 100 }) make?: string | null;
  @Text({ optional: true, max: 100 }) model?: string | null;
  @NestedList(() => MachineReadingInput, { optional: true, max: 10_000 }) readings?:
    MachineReadingInput[] | null;
  @NestedList(() => MachineFaultInput, { optional: true, max: 10_000 }) faults?: MachineFaultInput[] | null;
}

export class ReportsInput {
  @NestedList(() => MachineReportInput, { max: 10_000 }) machines!: MachineReportInput[];
}
