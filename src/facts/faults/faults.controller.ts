import { Body, Controller, Get, HttpCode, Post, Query } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork, MechanicWork } from '../../platform/access/access.js';
import { VoidInput } from '../../platform/http/void-input.dto.js';
import { IdParam } from '../../platform/input/id-param.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  FaultPage,
  FaultQuery,
  FaultsInput,
  FaultsOfVehicleQuery,
  FaultsView,
  FaultView,
} from './fault.dto.js';
import { FaultRecordsService } from './fault-records.service.js';

@ApiTags('faults')
@Controller('v1')
export class FaultsController {
  constructor(private readonly faults: FaultRecordsService) {}

  @Post('faults')
  @MechanicWork()
  @ApiOperation({ summary: 'Post 1 to 200 fault codes that were read out, all or none' })
  @ApiCreatedResponse({ type: FaultsView })
  post(@Body() input: FaultsInput): Promise<FaultsView> {
    return this.faults.post(input);
  }

  @Get('faults')
  @ApiOperation({ summary: 'List faults, latest first: those that stand unless asked otherwise' })
  @ApiOkResponse({ type: FaultPage })
  list(@Query() query: FaultQuery): Promise<Page<FaultView>> {
    return this.faults.list(query);
  }

  @Get('faults/:id')
  @ApiOperation({ summary: 'Read a fault' })
  @ApiOkResponse({ type: FaultView })
  get(@IdParam('fault') id: string): Promise<FaultView> {
    return this.faults.get(id);
  }

  @Post('faults/:id/void')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Take a fault back, with the reason: nothing is concluded from it any more' })
  @ApiOkResponse({ type: FaultView })
  void(@IdParam('fault') id: string, @Body() input: VoidInput): Promise<FaultView> {
    return this.faults.void(id, input.reason);
  }

  @Get('vehicles/:id/faults')
  @ApiOperation({ summary: "List a vehicle's faults, latest first" })
  @ApiOkResponse({ type: FaultPage })
  ofVehicle(@IdParam('vehicle') id: string, @Query() query: FaultsOfVehicleQuery): Promise<Page<FaultView>> {
    return this.faults.ofVehicle(id, query);
  }
}
