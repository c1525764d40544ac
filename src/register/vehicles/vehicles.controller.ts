import { Body, Controller, Delete, Get, Headers, HttpCode, Patch, Post, Query, Res } from '@nestjs/common';
import {
  ApiBody,
  ApiCreatedResponse,
  ApiNoContentResponse,
  ApiOkResponse,
  ApiOperation,
  ApiTags,
} from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { ManagerWork } from '../../platform/access/access.js';
import { tagVersion } from '../../platform/resources/etags.js';
import { IdParam } from '../../platform/input/id-param.js';
import type { Page } from '../../platform/pages/pages.js';
import { patchClass } from '../../platform/resources/resource-routes.js';
import { VehicleInput, VehiclePage, VehiclePatch, VehicleQuery, VehicleView } from './vehicle.dto.js';
import { VehiclesService } from './vehicles.service.js';

@ApiTags('vehicles')
@Controller('v1/vehicles')
export class VehiclesController {
  constructor(private readonly vehicles: VehiclesService) {}

  @Get()
  @ApiOperation({ summary: 'List the vehicles, by unit number' })
  @ApiOkResponse({ type: VehiclePage })
  list(@Query() query: VehicleQuery): Promise<Page<VehicleView>> {
    return this.vehicles.list(query);
  }

  @Post()
  @ManagerWork()
  @ApiOperation({ summary: 'Add a vehicle' })
  @ApiCreatedResponse({ type: VehicleView })
  async create(
    @Body() input: VehicleInput,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<VehicleView> {
    return tagVersion(reply, await this.vehicles.create(input));
  }

  @Get(':id')
  @ApiOperation({ summary: 'Read a vehicle' })
  @ApiOkResponse({ type: VehicleView })
  async get(
    @IdParam('vehicle') id: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<VehicleView> {
    return tagVersion(reply, await this.vehicles.get(id));
  }

  @Patch(':id')
  @ManagerWork()
  @ApiOperation({ summary: 'Change a vehicle (merge patch)' })
  @ApiBody({ type: patchClass(VehiclePatch), description: 'The fields to change; null clears' })
  @ApiOkResponse({ type: VehicleView })
  async patch(
    @IdParam('vehicle') id: string,
    @Body() patch: Record<string, unknown>,
    @Headers('if-match') ifMatch: string | undefined,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<VehicleView> {
    return tagVersion(reply, await this.vehicles.patch(id, patch, ifMatch));
  }

  @Delete(':id')
  @HttpCode(204)
  @ManagerWork()
  @ApiOperation({ summary: 'Delete a vehicle that has no history' })
  @ApiNoContentResponse()
  remove(@IdParam('vehicle') id: string): Promise<void> {
    return this.vehicles.remove(id);
  }
}
