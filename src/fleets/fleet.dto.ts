import { ApiProperty } from '@nestjs/swagger';
import type { UnitSystem } from '../domain/quantities/measures.js';
import { Choice, Text, TimeZone } from '../platform/http/fields.js';

export class FleetInput {
  @Text({ max: 120 }) name!: string;
  @TimeZone({ description: 'Decides which day it is, and with it what is due' }) timeZone!: string;
  @Choice(['us', 'si'], { description: 'The units of every answer that does not ask for others' })
  units!: UnitSystem;
}

export class FleetView extends FleetInput {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() version!: number;
}
