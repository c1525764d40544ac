import { Controller, Get, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { IdParam } from '../../platform/input/id-param.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { HistoryPage } from './history-item.dto.js';
import { VehicleHistoryService } from './vehicle-history.service.js';

@ApiTags('vehicles')
@Controller('v1/vehicles')
export class VehicleHistoryController {
  constructor(private readonly history: VehicleHistoryService) {}

  @Get(':id/history')
  @ApiOperation({ summary: 'Read what happened to a vehicle, newest first' })
  @ApiOkResponse({ type: HistoryPage })
  page(@IdParam('vehicle') id: string, @Query() query: PageQueryDto): Promise<HistoryPage> {
    return this.history.page(id, query);
  }
}
