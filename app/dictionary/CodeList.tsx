import type { Code } from '../../lib/contract/codes';

export function CodeList({ name, codes }: { readonly name: string; readonly codes: readonly Code[] }) {
  return (
    <section id={`list-${name}`}>
      <h3>{name.replaceAll('_', ' ')}</h3>
      <dl>
        {codes.map(({ code, label, joints }) => (
          <div key={code}><dt><code>{code}</code></dt><dd>{label}{joints !== undefined && <span className="soft"> ({joints.join(', ')})</span>}</dd></div>
        ))}
      </dl>
    </section>
  );
}
