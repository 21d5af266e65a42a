/** Building blocks of the report's sheet. */
import type { ComponentChildren } from 'preact';
import type { Fact } from './facts.ts';

export function Part({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <section class="sheet-part">
      <h2>{title}</h2>
      {children}
    </section>
  );
}

export function Facts({ facts }: { facts: readonly Fact[] }) {
  return (
    <dl class="facts">
      {facts.map(({ name, value }) => [<dt key={`${name}-name`}>{name}</dt>, <dd key={name}>{value}</dd>])}
    </dl>
  );
}

export function Lines({ lines }: { lines: readonly string[] }) {
  return (
    <ul class="sheet-lines">
      {lines
        .filter((line) => line !== '')
        .map((line) => (
          <li key={line}>{line}</li>
        ))}
    </ul>
  );
}
