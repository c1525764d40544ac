import { Body, Controller, Get, HttpCode, Post, Query } from '@nestjs/common';
import { RouteConfig } from '@nestjs/platform-fastify';
import { ApiBody, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork, MechanicWork } from '../../platform/access/access.js';
import { VoidInput } from '../../platform/http/void-input.dto.js';
import { IdParam } from '../../platform/input/id-param.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  TemperatureDayPage,
  TemperatureDayView,
  TemperaturesInput,
  TemperaturesResult,
  TemperatureTrendView,
} from './temperature.dto.js';
import { TemperatureRecordsService } from './temperature-records.service.js';

/** Room for five thousand temperatures with generous indentation. */
const BATCH_BYTES = 4 * 1024 * 1024;

@ApiTags('coolant temperatures')
@Controller('v1')
export class TemperaturesController {
  constructor(private readonly temperatures: TemperatureRecordsService) {}

  @Post('coolant-temperatures')
  @HttpCode(200)
  @MechanicWork()
  @RouteConfig({ bodyLimit: BATCH_BYTES })
  @ApiOperation({ summary: 'Post 1 to 5,000 coolant temperatures, each answered by itself' })
  @ApiBody({ type: TemperaturesInput })
  @ApiOkResponse({ type: TemperaturesResult })
  post(@Body() body: unknown): Promise<TemperaturesResult> {
    return this.temperatures.post(body);
  }

  @Post('coolant-temperature-days/:id/void')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: "Take a day's figures back, with the reason: nothing is concluded from them" })
  @ApiOkResponse({ type: TemperatureDayView })
  void(@IdParam('temperature day') id: string, @Body() input: VoidInput): Promise<TemperatureDayView> {
    return this.temperatures.void(id, input.reason);
  }

  @Get('vehicles/:id/coolant-temperatures')
  @ApiOperation({ summary: "List a vehicle's coolant temperatures day by day, latest first" })
  @ApiOkResponse({ type: TemperatureDayPage })
  ofVehicle(@IdParam('vehicle') id: string, @Query() query: PageQueryDto): Promise<Page<TemperatureDayView>> {
    return this.temperatures.ofVehicle(id, query);
  }

  @Get('vehicles/:id/coolant-temperature-trend')
  @ApiOperation({ summary: 'Read whether the coolant of a vehicle runs hotter and hotter' })
  @ApiOkResponse({ type: TemperatureTrendView })
  trend(@IdParam('vehicle') id: string): Promise<TemperatureTrendView> {
    return this.temperatures.trend(id);
  }
}
