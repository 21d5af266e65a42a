/** Codes that need a text in every language. All other texts are in `en.ts`. */
import type { Fuel, LayoutKind } from '../../worker/core/engine.ts';
import type { EvidenceCode } from '../../worker/core/evidence.ts';
import type { Cause, NextStep, Verdict } from '../../worker/core/judgement.ts';
import type { NoticeCode, Severity } from '../../worker/core/notice.ts';
import type { BuildUp, Reading } from '../../worker/core/reading.ts';
import type { RuleCode } from '../../worker/core/rule.ts';
import type { Condition, Cycle } from '../../worker/core/trace.ts';
import type { FileProblem } from '../../worker/file/csv/trace-file.ts';
import type { Origin } from '../../worker/file/records.ts';
import type { AnalystHealth } from '../analysis/analyst.ts';
import type { Announcement } from '../capture/announcement.ts';
import type { CapturePhase } from '../capture/capture-state.ts';
import type { Connection } from '../capture/connection-state.ts';
import type { ArmBlock } from '../capture/port.ts';
import type { CautionCode } from '../safety/cautions.ts';
import type { SourceProblemCode } from '../sources/port.ts';
import type { StoreProblemCode } from '../store/port.ts';

type Keyed<Code extends string | number, Said = string> = Readonly<Record<Code, Said>>;

/** May have further sentences beside those of the codes. */
type KeyedAndMore<Code extends string> = Keyed<Code> & Readonly<Record<string, string>>;

export interface CodedWords {
  readonly origin: Keyed<Origin>;
  readonly condition: Keyed<Condition>;
  readonly hose: Keyed<Reading['hose']>;
  readonly cycle: Keyed<Cycle>;
  readonly fuel: Keyed<Fuel>;
  readonly layoutKind: Keyed<LayoutKind>;
  readonly verdict: Keyed<Verdict>;
  readonly verdictSentence: KeyedAndMore<Verdict>;
  readonly cause: Keyed<Cause>;
  readonly evidence: Keyed<EvidenceCode>;
  readonly nextStep: Keyed<NextStep, { readonly name: string; readonly how: string }>;
  readonly rule: Keyed<RuleCode, { readonly name: string; readonly source: string }>;
  readonly notice: Keyed<NoticeCode>;
  readonly severity: Keyed<Severity>;
  readonly buildUp: Keyed<BuildUp>;
  readonly source: Keyed<SourceProblemCode>;
  /** A write to the store failed. */
  readonly store: Keyed<StoreProblemCode>;
  /** A read from the store failed. */
  readonly storeRead: Keyed<StoreProblemCode>;
  readonly file: Keyed<FileProblem['code']>;
  readonly caution: Keyed<CautionCode, { readonly what: string; readonly why: string }>;
  readonly phase: KeyedAndMore<CapturePhase>;
  readonly connection: KeyedAndMore<Connection['state']>;
  readonly armBlock: Keyed<ArmBlock>;
  readonly analyst: Keyed<AnalystHealth>;
  readonly announcement: KeyedAndMore<Announcement['kind']>;
}
