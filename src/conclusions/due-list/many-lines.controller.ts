import { Body, Controller, HttpCode, Post, Req } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyRequest } from 'fastify';
import { ManagerWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import { readerOf } from '../../platform/presenting/reader-of-request.js';
import type { DueLineView } from './due-line-view.js';
import { DueLineItem } from './due-list.dto.js';
import { ManyLinesResult, PostponeManyInput, WithdrawInput, WithdrawManyInput } from './many-lines.dto.js';
import { ManyLinesService } from './many-lines.service.js';
import { WithdrawingService } from './withdrawing.service.js';

@ApiTags('due list')
@Controller('v1/due-list')
export class ManyLinesController {
  constructor(
    private readonly many: ManyLinesService,
    private readonly withdrawing: WithdrawingService,
  ) {}

  @Post('postpone')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({
    summary: 'Postpone up to 200 due lines with one reason, each answered by itself',
    description:
      'Each line is postponed as if it were sent alone: one that is refused keeps no other from being done.',
  })
  @ApiOkResponse({ type: ManyLinesResult })
  postpone(@Body() input: PostponeManyInput, @Req() request: FastifyRequest): Promise<ManyLinesResult> {
    return this.many.postpone(input, readerOf(request));
  }

  @Post('withdraw-postponements')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Withdraw the postponements of up to 200 due lines, each answered by itself' })
  @ApiOkResponse({ type: ManyLinesResult })
  withdrawMany(@Body() input: WithdrawManyInput, @Req() request: FastifyRequest): Promise<ManyLinesResult> {
    return this.many.withdraw(input, readerOf(request));
  }

  @Post(':id/withdraw-postponement')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Withdraw the postponement of a due line, which may then be postponed anew' })
  @ApiOkResponse({ type: DueLineItem })
  withdraw(@IdParam('due line') id: string, @Body() { reason }: WithdrawInput): Promise<DueLineView> {
    return this.withdrawing.withdraw(id, reason);
  }
}
