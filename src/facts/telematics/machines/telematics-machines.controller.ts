import { Body, Controller, Get, HttpCode, Post, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../../platform/access/access.js';
import { IdParam } from '../../../platform/input/id-param.js';
import type { Page } from '../../../platform/pages/pages.js';
import {
  MachineMappingInput,
  MachinesQuery,
  TelematicsMachinePage,
  TelematicsMachineView,
} from './telematics-machine.dto.js';
import { TelematicsMachinesService } from './telematics-machines.service.js';

@ApiTags('telematics')
@ManagerWork()
@Controller('v1/telematics-sources/:id/machines')
export class TelematicsMachinesController {
  constructor(private readonly machines: TelematicsMachinesService) {}

  @Get()
  @ApiOperation({ summary: 'List the machines that a source names, in the order in which they came up' })
  @ApiOkResponse({ type: TelematicsMachinePage })
  list(
    @IdParam('telematics source') id: string,
    @Query() query: MachinesQuery,
  ): Promise<Page<TelematicsMachineView>> {
    return this.machines.list(id, query);
  }

  @Post(':machineId/map')
  @HttpCode(200)
  @ApiOperation({ summary: 'Say which vehicle a machine is' })
  @ApiOkResponse({ type: TelematicsMachineView })
  map(
    @IdParam('telematics source') id: string,
    @IdParam('telematics machine', 'machineId') machineId: string,
    @Body() input: MachineMappingInput,
  ): Promise<TelematicsMachineView> {
    return this.machines.map(id, machineId, input);
  }

  @Post(':machineId/unmap')
  @HttpCode(200)
  @ApiOperation({ summary: 'Take back which vehicle a machine is; its numbers decide again' })
  @ApiOkResponse({ type: TelematicsMachineView })
  unmap(
    @IdParam('telematics source') id: string,
    @IdParam('telematics machine', 'machineId') machineId: string,
  ): Promise<TelematicsMachineView> {
    return this.machines.unmap(id, machineId);
  }
}
