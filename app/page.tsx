export default function ComparePage() {
  return <h1>Compare</h1>;
}
