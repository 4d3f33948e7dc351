"""What is allowed for shrinkage: as drawn, as set in the jig, as expected after welding.

It is a layer beside the drawing: nothing here moves a stop.

| module | what it answers |
| --- | --- |
| `values` | `AllowanceReport`, `Layer`, `StopMove`: plain values |
| `report` | `allowance(job, contacts)` |
| `findings` | `allowance_findings(job, report)`: what to say about it |

    allowance(job: Job, contacts: JobContacts) -> AllowanceReport
    allowance_findings(job: Job, report: AllowanceReport) -> Iterator[Finding]
"""
