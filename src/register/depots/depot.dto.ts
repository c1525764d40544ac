import { ApiProperty } from '@nestjs/swagger';
import type { Quantity } from '../../domain/quantities/units.js';
import { USUAL_LABOUR_HOURS, type Weekday, WEEKDAYS } from '../../domain/visits/working-days.js';
import { Amount, Choices, CivilDates, QuantityOf, Text } from '../../platform/fields/fields.js';
import { pageClass } from '../../platform/pages/pages.js';

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
  @Amount({
    optional: true,
    min: 0,
    max: 10_000,
    description: `Hours of labour available on a working day; ${USUAL_LABOUR_HOURS} unless given (common practice)`,
  })
  labourHoursPerDay?: number | null;
  @Choices(WEEKDAYS, {
    optional: true,
    min: 1,
    description: 'Working days of the week; Monday to Friday unless given (common practice)',
  })
  workingDays?: Weekday[] | null;
  @CivilDates({
    optional: true,
    maxItems: 400,
    description: 'Further days on which it is closed, such as holidays',
  })
  closedOn?: string[] | null;
}

export class DepotView extends DepotInput {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() version!: number;
}

export const DepotPage = pageClass(DepotView, 'DepotPage');
