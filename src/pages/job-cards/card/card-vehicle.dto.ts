import { DUTIES } from '../../../domain/intervals/types.js';
import { ApiProperty } from '@nestjs/swagger';
import type { Quantity } from '../../../domain/quantities/units.js';
import { QuantityOf } from '../../../platform/fields/fields.js';
import { STATUSES } from '../../../register/vehicles/vehicle.dto.js';

const text = { type: 'string', nullable: true } as const;

class CardUnit {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
}

class CardDepot {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() name!: string;
  @QuantityOf('elevation', { optional: true }) elevation!: Quantity | null;
}

export class CardVehicle {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
  @ApiProperty(text) make!: string | null;
  @ApiProperty(text) model!: string | null;
  @ApiProperty({ type: 'integer', nullable: true }) modelYear!: number | null;
  @ApiProperty(text) vin!: string | null;
  @ApiProperty(text) serialNumber!: string | null;
  @ApiProperty({ enum: DUTIES }) duty!: string;
  @ApiProperty({ enum: STATUSES }) status!: string;
  @ApiProperty({ type: () => CardUnit, nullable: true, description: 'The carrier of an auxiliary engine' })
  mountedOn!: CardUnit | null;
  @ApiProperty({ type: () => [CardUnit], description: 'The units mounted on it' }) carries!: CardUnit[];
  @ApiProperty({ type: () => CardDepot, nullable: true, description: 'Where the work is done' })
  depot!: CardDepot | null;
  @QuantityOf('temperature', {
    optional: true,
    description: "The coldest that its coolant must stand: the vehicle's own, else its depot's",
  })
  designLowTemperature!: Quantity | null;
  @QuantityOf('distance', { optional: true, description: 'From the daily rate; without one, as last read' })
  estimatedOdometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) estimatedEngineHours!: Quantity | null;
  @ApiProperty({ type: 'string', format: 'date-time', nullable: true }) lastReadAt!: string | null;
  @ApiProperty({ description: 'The last reading is more than 60 days old, or there is none' })
  stale!: boolean;
}
