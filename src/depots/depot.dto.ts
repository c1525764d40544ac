import { ApiProperty } from '@nestjs/swagger';
import type { Quantity } from '../domain/quantities/units.js';
import { Amount, QuantityOf, Text } from '../platform/http/fields.js';
import { pageClass } from '../platform/http/pages.js';

export class DepotInput {
  @Text({ max: 120 }) name!: string;
  @QuantityOf('elevation', {
    optional: true,
    description: 'Above sea level; decides how deep a vacuum can be there',
  })
  elevation?: Quantity | null;
  @QuantityOf('temperature', {
    optional: true,
    min: -70,
    max: 30,
    description: 'The lowest winter temperature that coolant must protect to',
  })
  designLowTemperature?: Quantity | null;
  @Amount({ optional: true, min: 0, max: 10_000, description: 'Hours of labour at hand on a working day' })
  labourHoursPerDay?: number | null;
}

export class DepotView extends DepotInput {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() version!: number;
}

export const DepotPage = pageClass(DepotView, 'DepotPage');
