import Link from 'next/link';

export default function NotFound() {
  return (
    <>
      <h1>No such page</h1>
      <p>The address names a page that the workbench does not have. Go to <Link href="/" prefetch={false}>Compare</Link>.</p>
    </>
  );
}
