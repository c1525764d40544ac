import { ApiProperty } from '@nestjs/swagger';
import type { Quantity } from '../../../domain/quantities/units.js';
import { MATCHES, type MatchedBy } from '../../../entities/telematics-source.entity.js';
import { Choice, Identifier, QuantityOf, Text } from '../../../platform/fields/fields.js';
import { PageQueryDto } from '../../../platform/pages/page-query.dto.js';
import { pageClass } from '../../../platform/pages/pages.js';
import { MessageView } from '../../../platform/words/message.dto.js';

export const MACHINE_FILTERS = ['known', 'unknown', 'beside'] as const;

export class MachinesQuery extends PageQueryDto {
  @Choice(MACHINE_FILTERS, {
    optional: true,
    description:
      'unknown: machines that are no vehicle of the fleet; beside: another machine gives the counters of the vehicle',
  })
  state?: (typeof MACHINE_FILTERS)[number];
}

export class MachineMappingInput {
  @Identifier({ optional: true, description: 'Or unitNumber' }) vehicleId?: string | null;
  @Text({ optional: true, max: 40 }) unitNumber?: string | null;
}

export class TelematicsMachineView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ type: String, nullable: true }) vin!: string | null;
  @ApiProperty({ type: String, nullable: true }) serialNumber!: string | null;
  @ApiProperty({ type: String, nullable: true }) equipmentId!: string | null;
  @ApiProperty({ type: String, nullable: true }) make!: string | null;
  @ApiProperty({ type: String, nullable: true }) model!: string | null;
  @ApiProperty({ type: String, format: 'uuid', nullable: true }) vehicleId!: string | null;
  @ApiProperty({ type: String, nullable: true }) unitNumber!: string | null;
  @ApiProperty({ enum: MATCHES, nullable: true, type: String, description: 'By what it was recognised' })
  matchedBy!: MatchedBy | null;
  @ApiProperty({ description: 'Several vehicles have its serial number: map it by hand' })
  ambiguous!: boolean;
  @ApiProperty({
    description:
      'Another machine gives the counters of the same vehicle. The faults of this one are taken all the same',
  })
  beside!: boolean;
  @ApiProperty({ format: 'date-time' }) firstSeenAt!: string;
  @ApiProperty({ format: 'date-time' }) lastSeenAt!: string;
  @ApiProperty({
    type: String,
    format: 'date-time',
    nullable: true,
    description: 'The latest instant that it gave',
  })
  reportedAt!: string | null;
  @QuantityOf('distance', { optional: true, description: 'The last value that was taken, as it was sent' })
  odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty({ description: 'Usage readings believed so far' }) taken!: number;
  @ApiProperty({ description: 'Usage readings held for review so far' }) held!: number;
  @ApiProperty({ description: 'Values refused so far' }) refused!: number;
  @ApiProperty({ type: () => MessageView, nullable: true }) lastRefusal!: MessageView | null;
}

export const TelematicsMachinePage = pageClass(TelematicsMachineView, 'TelematicsMachinePage');
