import { Body, Controller, Get, HttpCode, Post, Query } from '@nestjs/common';
import { ApiBody, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork, MechanicWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import type { Page } from '../../platform/pages/pages.js';
import { validated } from '../../platform/input/validation.pipe.js';
import {
  AcknowledgeInput,
  ClearInput,
  LossAlertDetail,
  LossAlertPage,
  LossAlertQuery,
  type LossAlertView,
  ShelveInput,
} from './loss-alert.dto.js';
import { LossAlertsService } from './loss-alerts.service.js';

@ApiTags('loss alerts')
@Controller('v1/loss-alerts')
export class LossAlertsController {
  constructor(private readonly alerts: LossAlertsService) {}

  @Get()
  @ApiOperation({ summary: 'List the loss alerts, newest first; those not cleared unless asked otherwise' })
  @ApiOkResponse({ type: LossAlertPage })
  list(@Query() query: LossAlertQuery): Promise<Page<LossAlertView>> {
    return this.alerts.list(query);
  }

  @Get(':id')
  @ApiOperation({ summary: 'Read a loss alert, with what people did about it' })
  @ApiOkResponse({ type: LossAlertDetail })
  get(@IdParam('loss alert') id: string): Promise<LossAlertDetail> {
    return this.alerts.get(id);
  }

  @Post(':id/acknowledge')
  @HttpCode(200)
  @MechanicWork()
  @ApiOperation({ summary: 'Say that someone has the alert in hand' })
  @ApiBody({ type: AcknowledgeInput, required: false })
  @ApiOkResponse({ type: LossAlertDetail })
  async acknowledge(@IdParam('loss alert') id: string, @Body() body: unknown): Promise<LossAlertDetail> {
    return this.alerts.acknowledge(id, await validated(AcknowledgeInput, body ?? {}));
  }

  @Post(':id/shelve')
  @HttpCode(200)
  @MechanicWork()
  @ApiOperation({ summary: 'Silence the alert until a time, when it raises itself again' })
  @ApiOkResponse({ type: LossAlertDetail })
  shelve(@IdParam('loss alert') id: string, @Body() input: ShelveInput): Promise<LossAlertDetail> {
    return this.alerts.shelve(id, input);
  }

  @Post(':id/clear')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'End the alert, saying why' })
  @ApiOkResponse({ type: LossAlertDetail })
  clear(@IdParam('loss alert') id: string, @Body() input: ClearInput): Promise<LossAlertDetail> {
    return this.alerts.clear(id, input);
  }
}
