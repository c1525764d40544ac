import { Controller, Get, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { IdParam } from '../../platform/input/id-param.js';
import { ReaderUnits } from '../../platform/presenting/reader-units.js';
import { LossTrendQuery, LossTrendView } from './loss-trend.dto.js';
import { LossTrendsService } from './loss-trends.service.js';

@ApiTags('loss alerts')
@Controller('v1/vehicles')
export class LossTrendsController {
  constructor(private readonly trends: LossTrendsService) {}

  @Get(':id/loss-trend')
  @ApiOperation({ summary: 'Read how much coolant a vehicle loses, as series ready to plot' })
  @ApiOkResponse({ type: LossTrendView })
  ofVehicle(
    @IdParam('vehicle') id: string,
    @Query() { circuit }: LossTrendQuery,
    @ReaderUnits() units: UnitSystem,
  ): Promise<LossTrendView> {
    return this.trends.ofVehicle(id, circuit, units);
  }
}
