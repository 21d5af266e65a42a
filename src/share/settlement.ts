/** What one settling of records and documents works on: the transaction, open documents, and where each engine stands. */
import type * as Y from 'yjs';
import { canonicalJson } from '../../worker/file/session/canonical-json.ts';
import type { DocumentSummary } from '../store/database.ts';
import { documentName, documentOf, parseDocumentName } from './document.ts';
import { type PlugEntry, readPlugs } from './engine-document.ts';
import { standsFor } from './fates.ts';
import type { Writing } from './local-records.ts';

/** Summaries by document name. */
type Summaries = ReadonlyMap<string, DocumentSummary>;

export interface SettleRequest {
  /** Documents to look at. */
  readonly names: Iterable<string>;
  /** Updates from elsewhere, checked with `isUpdate`. */
  readonly updates?: ReadonlyMap<string, readonly Uint8Array[]> | undefined;
  readonly summaries: Summaries;
  /** Time of a removal found now, ISO 8601. */
  readonly now: string;
  /** As in `openDocuments`. */
  readonly nextClientId?: (() => number) | undefined;
}

export interface Settled {
  /** New summaries of the documents that were looked at. */
  readonly summaries: Summaries;
  /** Documents that differ from before, and those of them that were changed on this device. */
  readonly changedDocuments: readonly string[];
  readonly ownChanges: readonly string[];
  /** Records on this device that were changed by an update. */
  readonly changedEngines: readonly string[];
  readonly changedTests: readonly string[];
  readonly removedTests: readonly string[];
}

interface Open {
  readonly doc: Y.Doc;
  readonly stateBefore: Uint8Array | null;
  isChanged: boolean;
}

/** One settling. */
export class Settlement {
  readonly open = new Map<string, Open>();
  readonly fates = new Map<string, DocumentSummary['removal']>();
  readonly changedEngines = new Set<string>();
  readonly changedTests = new Set<string>();
  readonly removedTests = new Set<string>();
  readonly ownChanges = new Set<string>();
  /** Tests of this device whose engine is not on it, but has a document. */
  readonly orphans = new Set<string>();
  /** Engine that a test's document names, by test. */
  readonly engineOfTest = new Map<string, string>();
  /** For which engine each one stood when the records and documents last agreed. */
  readonly standingAtFirst: ReadonlyMap<string, string | null>;

  constructor(
    readonly tx: Writing,
    readonly request: SettleRequest,
  ) {
    for (const [name, { engineId, removal, isWhole }] of request.summaries) {
      const parsed = parseDocumentName(name);
      if (parsed?.kind === 'engine' && isWhole) this.fates.set(parsed.id, removal);
      if (parsed?.kind === 'test' && engineId !== undefined) this.engineOfTest.set(parsed.id, engineId);
    }
    this.standingAtFirst = this.standing();
  }

  async load(name: string): Promise<Open> {
    const known = this.open.get(name);
    if (known) return known;
    const stored = await this.tx.objectStore('documents').get(name);
    const opened = {
      doc: documentOf(stored?.state, this.request.nextClientId?.()),
      stateBefore: stored?.state ?? null,
      isChanged: false,
    };
    opened.doc.on('update', () => {
      opened.isChanged = true;
    });
    this.open.set(name, opened);
    return opened;
  }

  standing(): ReadonlyMap<string, string | null> {
    return new Map([...this.fates.keys()].map((id) => [id, standsFor(id, this.fates)]));
  }

  /** Plug inspections of an engine and of those merged into it. A removal counts for all of them. */
  async shownPlugs(id: string): Promise<ReadonlyMap<string, PlugEntry>> {
    const shown = new Map<string, PlugEntry>();
    const members = [...this.fates.keys()].filter((one) => one === id || standsFor(one, this.fates) === id);
    // Its own document last: that counts.
    for (const member of [...members.filter((one) => one !== id).sort(), id]) {
      const { doc } = await this.load(documentName('engine', member));
      for (const [plugId, entry] of readPlugs(doc)) {
        if (member !== id && shown.get(plugId) === null) continue;
        shown.set(plugId, entry && { ...entry, plug: { ...entry.plug, engineId: id } });
      }
    }
    return shown;
  }
}

/** Whether two records have the same fields. */
export const sameRecord = (a: object, b: object): boolean => canonicalJson(a) === canonicalJson(b);

export function samePlug(a: NonNullable<PlugEntry>, b: PlugEntry | undefined): boolean {
  if (!b || !sameRecord(a.plug, b.plug)) return false;
  const [x, y] = [a.photo?.bytes, b.photo?.bytes];
  return (
    x === y ||
    (x !== undefined && y !== undefined && x.length === y.length && x.every((byte, i) => byte === y[i]))
  );
}
