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
import { ManagerWork } from '../platform/access/access.js';
import { tagVersion } from '../platform/http/etags.js';
import { IdParam } from '../platform/http/id-param.js';
import { PageQueryDto } from '../platform/http/page-query.dto.js';
import type { Page } from '../platform/http/pages.js';
import { DepotInput, DepotPage, DepotView } from './depot.dto.js';
import { DepotsService } from './depots.service.js';

@ApiTags('depots')
@Controller('v1/depots')
export class DepotsController {
  constructor(private readonly depots: DepotsService) {}

  @Get()
  @ApiOperation({ summary: 'List the depots, by name' })
  @ApiOkResponse({ type: DepotPage })
  list(@Query() query: PageQueryDto): Promise<Page<DepotView>> {
    return this.depots.list(query);
  }

  @Post()
  @ManagerWork()
  @ApiOperation({ summary: 'Add a depot' })
  @ApiCreatedResponse({ type: DepotView })
  async create(
    @Body() input: DepotInput,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<DepotView> {
    return tagVersion(reply, await this.depots.create(input));
  }

  @Get(':id')
  @ApiOperation({ summary: 'Read a depot' })
  @ApiOkResponse({ type: DepotView })
  async get(
    @IdParam('depot') id: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<DepotView> {
    return tagVersion(reply, await this.depots.get(id));
  }

  @Patch(':id')
  @ManagerWork()
  @ApiOperation({ summary: 'Change a depot (merge patch)' })
  @ApiBody({ type: DepotInput, description: 'The fields to change; null clears' })
  @ApiOkResponse({ type: DepotView })
  async patch(
    @IdParam('depot') id: string,
    @Body() patch: object,
    @Headers('if-match') ifMatch: string | undefined,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<DepotView> {
    return tagVersion(reply, await this.depots.patch(id, patch, ifMatch));
  }

  @Delete(':id')
  @HttpCode(204)
  @ManagerWork()
  @ApiOperation({ summary: 'Delete a depot that nothing refers to' })
  @ApiNoContentResponse()
  remove(@IdParam('depot') id: string): Promise<void> {
    return this.depots.remove(id);
  }
}
