// A part of the page that may fail without taking the rest along: it says what broke and offers to draw again.

import { Component, type ReactNode } from "react"
import { Button } from "react-aria-components"

interface Props {
  readonly name: string
  readonly children: ReactNode
}

export class Part extends Component<Props, { readonly broken: string | undefined }> {
  override state = { broken: undefined as string | undefined }

  static getDerivedStateFromError(error: unknown) {
    return { broken: error instanceof Error ? error.message : String(error) }
  }

  override render() {
    if (this.state.broken === undefined) return this.props.children
    return (
      <div className={`part-broken area-${this.props.name}`} role="alert">
        <p>The {this.props.name} could not be drawn; everything else still stands.</p>
        <p className="soft">{this.state.broken}</p>
        <Button className="quiet" onPress={() => this.setState({ broken: undefined })}>
          Draw it again
        </Button>
      </div>
    )
  }
}
